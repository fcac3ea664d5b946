"""Prints the tables of docs/validation/diagnosis.md.

``python tests/diagnosis/fault_report.py 500 SEED``
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
from fault_run import (
    Patient,
    Search,
    arrived,
    by_information,
    by_the_book,
    place,
    rates,
    search,
    search_by_hand,
)

from holewright.diagnosis.causes import causes
from holewright.diagnosis.symptoms import links_of

EXTRA = 4
BANDS = ((0.0, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.9), (0.9, 1.01))


def stages(count: int, seed: int, *, as_listed: bool = False) -> Iterator[tuple[str, list[int]]]:
    """Yield each stage with the places of the true causes; the last ones go on asking."""
    start = arrived(count, seed, quick=False, as_listed=as_listed)
    yield "five readings at mid-depth, symptoms, job", [place(p) for p in start]
    now = arrived(count, seed, quick=True, as_listed=as_listed)
    yield "and the five quick facts", [place(p) for p in now]
    for extra in range(1, EXTRA + 1):
        ask_one(now)
        yield f"and {extra} test{'s' * (extra > 1)} chosen", [place(p) for p in now]


def ask_one(now: Sequence[Patient]) -> None:
    """Make the test that tells most for its time in each case."""
    for patient in now:
        test = by_information(patient)
        if test is not None:
            patient.ask(test)


def report(count: int, seed: int) -> Iterator[str]:
    """Yield the lines of the tables."""
    yield f"{count} cases, seed {seed}."
    for title, as_listed in (("each cause alike", False), ("as the lists expect", True)):
        yield f"\n| {title} | first | first three |\n|---|---|---|"
        for label, places in stages(count, seed, as_listed=as_listed):
            yield "| {} | {:.1%} | {:.1%} |".format(label, *rates(places))
    cases = arrived(count, seed, quick=True)
    listed = np.mean([any(k.cause == p.cause for k in links_of(p.seen[0])) for p in cases])
    yield f"\nMain complaint is one that lists tie to the cause: {listed:.1%}."
    ask_one(cases)
    ask_one(cases)
    yield from _sureness(cases)
    yield from _confusion(cases)
    yield from _searches(count, seed)


def _sureness(cases: Sequence[Patient]) -> Iterator[str]:
    yield "\n| said of the first cause | was it | cases |\n|---|---|---|"
    top = np.array([max(p.shares().values()) for p in cases])
    right = np.array([place(p) == 1 for p in cases])
    for low, high in BANDS:
        inside = (top >= low) & (top < high)
        if inside.any():
            yield f"| {top[inside].mean():.0%} | {right[inside].mean():.0%} | {inside.sum()} |"


def _confusion(cases: Sequence[Patient]) -> Iterator[str]:
    yield "\n| cause | cases | first | in three | else taken for |\n|---|---|---|---|---|"
    found: dict[str, list[tuple[int, str]]] = {}
    for patient in cases:
        now = patient.shares()
        first = max(now, key=lambda key: now[key])
        found.setdefault(patient.cause, []).append((place(patient), first))
    for cause, rows in found.items():
        wrong = Counter(first for at, first in rows if at > 1)
        taken = ", ".join(f"{key} {n}" for key, n in wrong.most_common(3))
        ones, threes = (sum(at <= most for at, _ in rows) for most in (1, 3))
        yield f"| {causes()[cause].name} (`{cause}`) | {len(rows)} | {ones} | {threes} | {taken} |"


def _searches(count: int, seed: int) -> Iterator[str]:
    yield "\n| | tests | remedies | together | median | minutes |\n|---|---|---|---|---|---|"
    for quick in (False, True):
        where = "after the five facts" if quick else "from the start"
        for name in ("by information", "ranked, asked by the lists", "by hand, by the lists"):
            runs = [_search(p, name) for p in arrived(count, seed, quick=quick)]
            columns = [[getattr(r, key) for r in runs] for key in ("tests", "remedies", "steps")]
            means = " | ".join(f"{np.mean(column):.2f}" for column in columns)
            median = np.median(columns[2])
            minutes = np.mean([r.minutes for r in runs])
            yield f"| {where}, {name} | {means} | {median:.0f} | {minutes:.0f} |"


def _search(patient: Patient, name: str) -> Search:
    if name.startswith("by hand"):
        return search_by_hand(patient)
    return search(patient, by_information if name == "by information" else by_the_book)


if __name__ == "__main__":
    for line in report(int(sys.argv[1]), int(sys.argv[2])):
        print(line)
