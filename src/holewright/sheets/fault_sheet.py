"""The test list of fault finding: one page to take to the machine, with boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.callout.callout import Callout
from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.explain import conflict_text, signature_text
from holewright.diagnosis.finding import Finding
from holewright.diagnosis.quick_tests import quick_tests, safety_lines
from holewright.diagnosis.symptoms import symptoms
from holewright.sheets.header import SheetHeader
from holewright.sheets.render import render
from holewright.sheets.sizes import limit_pair, small_pair
from holewright.sheets.words import asked_beside_size

TESTS = 5
"""Tests on one page; the rest is not worth taking along before these are answered."""

CAUSES = 4
CONFLICTS = 1


@dataclass(frozen=True)
class CauseRow:
    """A cause as it stands in the list."""

    name: str
    share: str
    signature: str
    remedy: str


@dataclass(frozen=True)
class TestRow:
    """A test with its answers: key, words, meaning."""

    __test__ = False

    key: str
    question: str
    how: str
    minutes: str
    answers: tuple[tuple[str, str, str], ...]
    safety: tuple[str, ...]


def fault_sheet(header: SheetHeader, *, callout: Callout, finding: Finding) -> str:
    """Return the printable test list as one HTML file that loads nothing.

    Parameters
    ----------
    header : SheetHeader
        What identifies the sheet.
    callout : Callout
        What the drawing asks.
    finding : Finding
        What is known so far, and which tests tell most.

    Returns
    -------
    str
        The sheet: what is seen, causes in order, tests in order with safety lines, blanks.
    """
    unit = header.unit
    return render(
        "fault_sheet.html",
        header,
        callout=callout,
        limits=(
            limit_pair(callout.limits.lower, unit, lower=True),
            limit_pair(callout.limits.upper, unit, lower=False),
        ),
        tolerance=small_pair(callout.limits.width, unit),
        asked=asked_beside_size(callout),
        seen=tuple(symptoms()[code] for code in finding.seen),
        finding=finding,
        causes=tuple(_cause_rows(finding)),
        tests=_test_rows(finding),
        always=_always(),
        conflicts=tuple(conflict_text(c) for c in finding.conflicts[:CONFLICTS]),
    )


def _always() -> str:
    """Return the line that is said once above all tests instead of with each."""
    return safety_lines()["stopped"]


def _cause_rows(finding: Finding) -> Sequence[CauseRow]:
    return [
        CauseRow(
            causes()[ranked.cause].name,
            f"{ranked.share:.0%}",
            signature_text(ranked.cause),
            causes()[ranked.cause].remedy,
        )
        for ranked in [r for r in finding.named if r.cause != OTHER][:CAUSES]
    ]


def _test_rows(finding: Finding) -> Sequence[TestRow]:
    rows = []
    for wanted in finding.next[:TESTS]:
        test = quick_tests()[wanted.test]
        rows.append(
            TestRow(
                key=test.key,
                question=test.question,
                how=test.how,
                minutes=f"{test.minutes:g}",
                answers=tuple((a.key, a.words, a.meaning) for a in test.answers),
                safety=tuple(line for line in test.safety if line != _always()),
            )
        )
    return rows
