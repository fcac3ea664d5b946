"""An answer to a single question: plain sentences first, numbers after, method last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from holewright.reasons import Reason


@dataclass(frozen=True)
class Figure:
    """One number of an answer.

    Parameters
    ----------
    name : str
        Short name for a machine, in lower case with hyphens.
    words : str
        What it is, for a person.
    said : str
        The number as a person reads it, with its unit.
    value : float, optional
        The number, in `unit`; None where there is none.
    unit : str
        ``mm``, ``share``, ``holes`` or ``1``.
    interval : tuple of float, optional
        Its ends, where it has an interval; an end may be infinite.
    """

    name: str
    words: str
    said: str
    value: float | None
    unit: str = "1"
    interval: tuple[float, float] | None = None


@dataclass(frozen=True)
class Curve:
    """Points of a curve, ready to draw.

    Parameters
    ----------
    x_words, y_words : str
        What runs along and what runs up, with its unit.
    points : tuple of (float, float)
        Points from left to right.
    marks : tuple of (float, float, str)
        Points worth naming, with the words that stand beside them.
    x_scale : str
        ``percent`` where a share runs along, ``number`` otherwise; shares run up.
    """

    x_words: str
    y_words: str
    points: tuple[tuple[float, float], ...]
    marks: tuple[tuple[float, float, str], ...] = ()
    x_scale: Literal["percent", "number"] = "percent"


@dataclass(frozen=True)
class Answer:
    """What was asked, and what can be said.

    Parameters
    ----------
    question : str
        Short name of the question, for a machine.
    headline : str
        The answer in a few words.
    about : str
        What it is about, beside the headline.
    sentences : tuple of str
        What it means, in plain words.
    figures : tuple of Figure
        The numbers behind it.
    method : str
        How it was reckoned, and for what it holds.
    warnings : tuple of Reason
        What is wrong with the question, the data or the answer.
    curve : Curve, optional
        Where the answer is a curve.
    refused : bool
        Whether the answer is no.
    """

    question: str
    headline: str
    about: str
    sentences: tuple[str, ...]
    figures: tuple[Figure, ...]
    method: str
    warnings: tuple[Reason, ...] = ()
    curve: Curve | None = None
    refused: bool = False
