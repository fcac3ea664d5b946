"""The page of fault finding: causes in order, what speaks for them, the test to make next."""

from __future__ import annotations

from holewright.cli.output import Page
from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.evidence import From
from holewright.diagnosis.explain import (
    conflict_text,
    odds,
    order_text,
    signature_text,
    sources_of,
    why_of,
)
from holewright.diagnosis.finding import Finding
from holewright.diagnosis.next_test import NextTest
from holewright.diagnosis.quick_tests import quick_tests
from holewright.diagnosis.rank import RankedCause
from holewright.diagnosis.symptoms import symptoms

CAUSES_SHOWN = 5
TESTS_SHOWN = 3
_BAR = 20

NUMBERS = {
    "tir": "or the runout as read: 12 µm",
    "reamer": "or the size as read: 8.012 mm",
    "conc": "or the strength as read: 5 %",
    "warm": "or part / gauge: 31 C / 21 C",
}
"""What may be typed instead of a key, by the number that a test reads."""


def show_finding(page: Page, finding: Finding, *, tests: int = TESTS_SHOWN) -> None:
    """Print a finding for people.

    Parameters
    ----------
    page : Page
        Where to.
    finding : Finding
        What was found.
    tests : int
        How many of the next tests to print. [-]
    """
    seen = ", ".join(symptoms()[code].name.lower() for code in finding.seen)
    page.verdict("LIKELY" if finding.act else "NOT YET CLEAR", seen)
    page.say(finding.sentence)
    if finding.cases:
        page.say(f"{finding.cases} cases of your own are heard in it.")
    page.heading("Causes, the likeliest first")
    _bars(page, finding)
    for ranked in [r for r in finding.named if r.cause != OTHER][: CAUSES_SHOWN - 2]:
        _show_cause(page, finding, ranked)
    read = [piece.text for piece in finding.evidence if piece.kind is From.READINGS]
    if read:
        page.heading("What the readings show")
        page.points(read)
    if finding.conflicts:
        page.heading("Where the sources disagree")
        page.points((conflict_text(c) for c in finding.conflicts[:3]), mark="?")
    if tests and finding.next:
        page.heading("Tests, the one that tells most for its time first")
        for wanted in finding.next[:tests]:
            _show_test(page, wanted)
    page.heading("Caution")
    page.points(finding.cautions, mark="!")


def _bars(page: Page, finding: Finding) -> None:
    rows = []
    for ranked in finding.named[:CAUSES_SHOWN]:
        filled = round(_BAR * ranked.share)
        bar = "█" * filled + "░" * (_BAR - filled)
        rows.append((f"{ranked.share:.0%}", bar, causes()[ranked.cause].name))
    page.table(("", "", ""), rows, right=(0,))


def _show_cause(page: Page, finding: Finding, ranked: RankedCause) -> None:
    cause = causes()[ranked.cause]
    page.gap()
    page.say(f"{cause.name} ({ranked.share:.0%}; by what is seen alone {ranked.before:.0%})")
    page.say(f"Its error goes: {signature_text(ranked.cause)}. {cause.how}", indent=4)
    page.say(f"Remedy: {cause.remedy}", indent=4)
    for line in why_of(ranked):
        page.say(line, indent=4)
    named = sources_of(ranked.cause, finding.seen)
    if named:
        page.say(f"Named by: {'; '.join(named)}.", indent=4)


def _show_test(page: Page, wanted: NextTest) -> None:
    test = quick_tests()[wanted.test]
    page.gap()
    page.say(f"{test.key}: {order_text(test)}")
    for answer in test.answers:
        page.say(f"{answer.key}  {answer.words}: {answer.meaning}", indent=4)
    for line in test.safety:
        page.say(f"! {line}", indent=4)


def show_short(page: Page, finding: Finding) -> None:
    """Print how the ranking stands after an answer."""
    page.say(finding.sentence)
    _bars(page, finding)


def show_why(page: Page, finding: Finding) -> None:
    """Print, for the first two causes, every piece of evidence with its weight."""
    for ranked in finding.causes[:2]:
        page.heading(f"Why {causes()[ranked.cause].name} stands at {ranked.share:.0%}")
        page.say(f"By what is seen alone: {ranked.before:.0%}.", indent=4)
        for weight in ranked.weights:
            page.say(f"{odds(weight.times)}: {weight.evidence.text}", indent=4)
            page.say(f"({weight.evidence.source})", indent=8)


def ask_test(page: Page, finding: Finding) -> str:
    """Print the next test, and return the prompt for its answer."""
    wanted = finding.next[0]
    test = quick_tests()[wanted.test]
    page.heading(f"Next: {test.question}")
    page.say(f"{test.how} About {test.minutes:g} min, {test.kind}.")
    for line in test.safety:
        page.say(f"! {line}", indent=2)
    for answer in test.answers:
        page.say(f"{answer.key}  {answer.words}", indent=4)
    if test.number in NUMBERS:
        page.say(NUMBERS[test.number], indent=4)
    keys = "/".join(answer.key for answer in test.answers)
    return f"{test.key} {keys}, w why, s skip, u undo, x tried in vain, q quit > "
