"""Study whether people with go/no-go pins agree: with themselves, each other and the truth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from holewright.errors import InputError, NoAnswerError
from holewright.gauging.agreement import (
    AgainstTruth,
    Kappa,
    against_truth,
    agreement_warnings,
    cohen_kappa,
    fleiss_kappa,
)
from holewright.jobs.answer import Answer, Figure
from holewright.jobs.studyfile import Judgements
from holewright.reasons import Reason
from holewright.shares import share_at_most

Answers = NDArray[np.bool_]


@dataclass
class _Found:
    """What was found so far, in the order in which it is told."""

    headline: str = "agreement can't be told"
    sentences: list[str] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    warnings: list[Reason] = field(default_factory=list)


def study_agreement(study: Judgements, confidence: float = 0.95) -> Answer:
    """Return how far people agree, and with parts of known size how often they are wrong.

    Parameters
    ----------
    study : Judgements
        Every person's judgements of every part, equally many.
    confidence : float
        Confidence of bounds and intervals. [-]

    Raises
    ------
    InputError
        If not everybody judged every part equally often, or a part has two truths.
    OutOfRangeError
        If the truth is given and all parts are good, or all bad.
    """
    parts, people, table = _table(study)
    trials = table.shape[2]
    found = _Found()
    if study.truth is not None:
        _with_truth(found, study, parts, people, table, confidence)
    if len(people) > 1:
        _with_each_other(found, people, table, confidence)
    if trials > 1:
        _with_themselves(found, people, table)
    said = tuple(found.sentences) or ("One person, one judgement a part: nothing to compare.",)
    return Answer(
        "agreement",
        found.headline,
        f"{len(parts)} parts, {len(people)} people, {trials} judgements each",
        said,
        tuple(found.figures),
        "Cohen's kappa for pairs of people, judgement by judgement; Fleiss' kappa over all "
        "judgements of a part; counts against the truth with exact bounds. Bounds take judgements "
        "as independent: repeats on few parts prove less.",
        tuple({warning.text: warning for warning in found.warnings}.values()),
    )


def _table(study: Judgements) -> tuple[list[str], list[str], Answers]:
    """Return parts, people, and the answers in the shape (parts, people, judgements)."""
    parts, people = list(dict.fromkeys(study.part)), list(dict.fromkeys(study.operator))
    cells: dict[tuple[str, str], list[bool]] = {}
    for p, o, a in zip(study.part, study.operator, study.answer, strict=True):
        cells.setdefault((p, o), []).append(a)
    trials = len(cells[study.part[0], study.operator[0]])
    for p in parts:
        for o in people:
            count = len(cells.get((p, o), []))
            if count != trials:
                raise InputError(
                    f"part {p}, operator {o}",
                    f"{count} judgements",
                    f"must be {trials} as elsewhere",
                )
    return parts, people, np.array([[cells[p, o] for o in people] for p in parts], dtype=bool)


def _with_truth(
    found: _Found,
    study: Judgements,
    parts: list[str],
    people: list[str],
    table: Answers,
    confidence: float,
) -> None:
    """Tell how often people were wrong."""
    truth_of: dict[str, bool] = {}
    for p, t in zip(study.part, study.truth or (), strict=True):
        if truth_of.setdefault(p, t) != t:
            raise InputError(
                f"truth of part {p}", study.words[not t], "must be the same in all rows"
            )
    truth = np.array([truth_of[p] for p in parts])

    def wrong(said: Answers) -> AgainstTruth:
        known = np.broadcast_to(truth[:, None, None], said.shape)
        return against_truth(_crossed(known, said), confidence)

    for i, name in enumerate(people):
        found.figures += _wrong_figures(name, wrong(table[:, i : i + 1]))
    every = wrong(table)
    if len(people) > 1:
        found.figures += _wrong_figures("everybody", every)
    found.warnings.extend(every.warnings)
    found.headline = f"{100 * every.misses:.1f} % of bad parts called {study.words[0]}"
    found.sentences.append(
        f"Of bad parts {100 * every.misses:.1f} % were called {study.words[0]}, up to "
        f"{share_at_most(every.misses_upper)} can't be ruled out; of good parts "
        f"{100 * every.false_alarms:.1f} % were called {study.words[1]}."
    )


def _wrong_figures(name: str, found: AgainstTruth) -> list[Figure]:
    return [
        Figure(
            f"{kind}-{name}",
            f"{name}: {words}",
            f"{100 * share:.1f} %, up to {share_at_most(upper)}",
            share,
            "share",
            (0.0, upper),
        )
        for kind, words, share, upper in (
            ("misses", "bad called good", found.misses, found.misses_upper),
            ("false-alarms", "good called bad", found.false_alarms, found.false_alarms_upper),
        )
    ]


def _with_each_other(found: _Found, people: list[str], table: Answers, confidence: float) -> None:
    """Tell how far people agree beyond chance: all together, and the worst pair."""
    judged = table.shape[1] * table.shape[2]
    yes = table.reshape(len(table), judged).sum(axis=1)
    among = _kappa(partial(fleiss_kappa, np.column_stack([judged - yes, yes]), confidence))
    if among is not None:
        found.figures.append(_figure("kappa-everybody", "everybody: Fleiss' kappa", among))
        if not found.sentences:
            found.headline = f"kappa {among.kappa:.2f} among {len(people)} people"
        found.sentences.append(
            f"Agreement beyond chance is {among.kappa:.2f} on a scale to 1: "
            f"{100 * among.agreed:.1f} % of pairs of judgements agree, and "
            f"{100 * among.by_chance:.1f} % would by chance."
        )
    pairs: list[tuple[float, str]] = []
    for (i, one), (j, other) in combinations(enumerate(people), 2):
        counts = _crossed(table[:, i], table[:, j])
        found.warnings.extend(agreement_warnings(counts))
        kappa = _kappa(partial(cohen_kappa, counts, confidence))
        if kappa is not None:
            pairs.append((kappa.kappa, f"{one} and {other}"))
            words = f"{one} and {other}: Cohen's kappa"
            found.figures.append(_figure(f"kappa-{one}-{other}", words, kappa))
    if len(pairs) > 1:
        kappa_of_worst, pair = min(pairs)
        found.sentences.append(f"{pair} agree least: kappa {kappa_of_worst:.2f}.")


def _with_themselves(found: _Found, people: list[str], table: Answers) -> None:
    """Tell on how many parts each person gave one answer each time."""
    same = (table == table[:, :, :1]).all(axis=2).mean(axis=0).tolist()
    for name, share in zip(people, same, strict=True):
        words = f"{name}: same answer each time"
        said = f"{100 * share:.1f} % of parts"
        found.figures.append(Figure(f"repeats-{name}", words, said, share, "share"))
    least, who = min(zip(same, people, strict=True))
    found.sentences.append(
        f"{who} repeats least: the same answer each time on {100 * least:.1f} % of the parts."
    )


def _crossed(one: Answers, other: Answers) -> NDArray[np.int_]:
    """Return the 2 x 2 table of two arrays of answers, bad first."""
    table = np.zeros((2, 2), dtype=np.int_)
    np.add.at(table, (one.astype(int), other.astype(int)), 1)
    return table


def _kappa(make: Callable[[], Kappa]) -> Kappa | None:
    """Return a kappa, or None where everybody always gave one and the same answer."""
    try:
        return make()
    except NoAnswerError:
        return None


def _figure(name: str, words: str, kappa: Kappa) -> Figure:
    low, high = kappa.interval
    said = f"{kappa.kappa:.3f} ({low:.3f} to {high:.3f})"
    return Figure(name, words, said, kappa.kappa, "1", kappa.interval)
