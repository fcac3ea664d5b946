"""An answer to a single question as plain JSON data."""

from __future__ import annotations

from holewright.jobs.answer import Answer
from holewright.jobs.documents import Document, finite, head, reason_data


def answer_document(answer: Answer) -> Document:
    """Return an answer as JSON data."""
    curve = answer.curve
    return head("answer") | {
        "question": answer.question,
        "headline": answer.headline,
        "about": answer.about,
        "sentences": list(answer.sentences),
        "numbers": [
            {
                "name": figure.name,
                "text": figure.words,
                "said": figure.said,
                "value": finite(figure.value),
                "unit": figure.unit,
                "interval": [finite(end) for end in figure.interval] if figure.interval else None,
            }
            for figure in answer.figures
        ],
        "warnings": [reason_data(reason) for reason in answer.warnings],
        "method": answer.method,
        "curve": None
        if curve is None
        else {
            "x": curve.x_words,
            "y": curve.y_words,
            "points": [list(point) for point in curve.points],
            "marks": [list(mark) for mark in curve.marks],
        },
    }
