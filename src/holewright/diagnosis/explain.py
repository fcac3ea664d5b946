"""What fault finding says, in sentences."""

from __future__ import annotations

import math
from collections.abc import Sequence

from holewright.diagnosis.causes import OTHER, causes
from holewright.diagnosis.facts import JobFacts
from holewright.diagnosis.next_test import NextTest
from holewright.diagnosis.quick_tests import Conflict, QuickTest, quick_tests, safety_lines
from holewright.diagnosis.rank import RankedCause, Weight
from holewright.diagnosis.symptoms import links

SCOPE = (
    "Advice, not an order: a person decides, and nothing here moves a machine.",
    "Change one thing for each test hole, and keep the bad part as it is.",
)
"""What is said with every finding."""

WORTH_SAYING = math.log(1.25)
"""Weight from which a piece of evidence is worth a line: 5 to 4. Own judgement."""

_ALWAYS = ("stopped", "hands", "hot", "swarf")


def sentence_of(ranked: Sequence[RankedCause], wanted: Sequence[NextTest], *, act: bool) -> str:
    """Return the answer in one sentence.

    Parameters
    ----------
    ranked : sequence of RankedCause
        Causes, the likeliest first.
    wanted : sequence of NextTest
        Tests, the best first.
    act : bool
        Whether the first cause is likely enough to be acted upon.
    """
    if act:
        first = causes()[ranked[0].cause]
        return f"Most likely: {_small(first.name)} ({ranked[0].share:.0%}). {first.remedy}"
    one, two = (
        f"{_small(causes()[r.cause].name)} ({r.share:.0%})"
        for r in [r for r in ranked if r.cause != OTHER][:2]
    )
    unlisted = ", or nothing that is in the list" if ranked[0].cause == OTHER else ""
    ask = f" Next: {_small(quick_tests()[wanted[0].test].question)}" if wanted else ""
    return f"Not yet clear: {one} or {two}{unlisted}.{ask}"


def _small(text: str) -> str:
    """Return a text that no longer begins a sentence."""
    return text[0].lower() + text[1:]


def odds(times: float) -> str:
    """Return a weight as odds: ``9 to 1 for it``, ``4 to 1 against it``."""
    if times >= 1:
        return f"{times:.1f} to 1 for it" if times < 10 else f"{times:.0f} to 1 for it"
    return f"{1 / times:.1f} to 1 against it" if times > 0.1 else f"{1 / times:.0f} to 1 against it"


def weight_text(weight: Weight) -> str:
    """Return what a piece of evidence does to a cause, with what was found."""
    return f"{weight.evidence.text} {odds(weight.times)[0].upper()}{odds(weight.times)[1:]}."


def why_of(cause: RankedCause, most: int = 4) -> tuple[str, ...]:
    """Return what speaks for and against a cause, the strongest first.

    Parameters
    ----------
    cause : RankedCause
        The cause.
    most : int
        How many lines at most. [-]
    """
    told = [w for w in cause.weights if abs(math.log(w.times)) >= WORTH_SAYING]
    return tuple(weight_text(weight) for weight in told[:most])


def signature_text(cause: str) -> str:
    """Return how the error of a cause goes, in words."""
    return "; ".join(str(signature) for signature in causes()[cause].signature)


def sources_of(cause: str, seen: Sequence[str]) -> tuple[str, ...]:
    """Return who names a cause for what is seen, each once.

    Parameters
    ----------
    cause : str
        Its key.
    seen : sequence of str
        Codes of the symptoms.
    """
    found = [
        source
        for link in links()
        if link.cause == cause and link.symptom in seen
        for source in link.sources
    ]
    return tuple(dict.fromkeys(found))


def order_text(test: QuickTest) -> str:
    """Return a test as an order of work: question, how, what it costs."""
    return f"{test.question} {test.how} About {test.minutes:g} min."


def conflict_text(conflict: Conflict) -> str:
    """Return what the sources disagree about, and the test that settles it here."""
    question = quick_tests()[conflict.test].question
    return (
        f"{conflict.about} Sources disagree: {conflict.says} ({conflict.source}); "
        f"{conflict.against} ({conflict.against_source}). Believe neither, test it: {question}"
    )


def cautions_of(facts: JobFacts) -> tuple[str, ...]:
    """Return the safety and scope lines of a finding.

    Parameters
    ----------
    facts : JobFacts
        The job, for swarf that burns.
    """
    lines = safety_lines()
    fire = (lines["fire"],) if facts.fire else ()
    return (*(lines[key] for key in _ALWAYS), *fire, *SCOPE)
