"""Evidence: what was seen, read, known and answered, each with its weight for every cause."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from holewright.diagnosis.case import Priors
from holewright.diagnosis.causes import causes
from holewright.diagnosis.effects import MOST, Yardstick, log_weights
from holewright.diagnosis.facts import Fact, JobFacts
from holewright.diagnosis.measured import runout_answer
from holewright.diagnosis.pattern import Feature, Pattern, Trait
from holewright.diagnosis.quick_tests import PATTERN, CheckKind, quick_tests
from holewright.diagnosis.symptoms import symptoms
from holewright.units import Unit, format_small


class From(StrEnum):
    """Where a piece of evidence comes from."""

    SEEN = "seen"
    READINGS = "readings"
    JOB = "job"
    ANSWER = "answer"
    TRIED = "tried"


@dataclass(frozen=True)
class Evidence:
    """One piece of evidence.

    Parameters
    ----------
    kind : From
        Where it comes from.
    name : str
        Code of the symptom, name of the trait, or key of the test.
    text : str
        What was found.
    log_weights : mapping of str to float
        Cause -> natural logarithm of how likely the finding is under it, up to a constant that
        is the same for all causes. [-]
    source : str
        Who says what it means.
    """

    kind: From
    name: str
    text: str
    log_weights: Mapping[str, float]
    source: str


LARGE = ("T01", "T04")
"""Symptoms of a hole that is too large, for which a runout is held against the size."""


def wrong_by(facts: JobFacts, pattern: Pattern, seen: Iterable[str]) -> float | None:
    """Return by how much the holes are large; None where that isn't what is wrong. [mm]

    Parameters
    ----------
    facts : JobFacts
        The job.
    pattern : Pattern
        Traits of the sizes.
    seen : iterable of str
        Codes of the symptoms. Without readings half the tolerance is taken.
    """
    offset = pattern.value(Trait.OFFSET) or 0.0
    if offset > 0.25 * facts.width or set(LARGE) & set(seen):
        return max(offset, 0.5 * facts.width)
    return None


def seen_evidence(seen: Iterable[str], priors: Priors) -> tuple[Evidence, ...]:
    """Return what was seen as evidence.

    Parameters
    ----------
    seen : iterable of str
        Codes of the symptoms.
    priors : Priors
        What is expected with each cause.
    """
    return tuple(
        Evidence(
            From.SEEN,
            code,
            f"Seen: {symptoms()[code].name.lower()}.",
            {cause: math.log(p) for cause, p in priors.of_symptom(code).items()},
            "lists of the trade, weights of our own" if not priors.cases else "lists and own cases",
        )
        for code in dict.fromkeys(seen)
    )


_TRAIT_WORDS = {
    Trait.OFFSET: "At mid-depth the holes are {value} off the forecast",
    Trait.ENTRY: "The entry is {value} against the middle",
    Trait.EXIT: "The far end is {value} against the middle",
    Trait.OVAL: "Directions differ by {value}",
    Trait.LOBES: "Pin, two points and three points differ by {value}",
    Trait.DRIFT: "Along the run the size drifts by {value}",
    Trait.STEP: "Along the run there is a step of {value}",
    Trait.FIRST: "The first hole is {value} against the rest",
    Trait.TIME: "With time after the cut the reading changes by {value}",
    Trait.PEOPLE: "People differ by {value}",
}


def feature_text(feature: Feature, unit: Unit) -> str:
    """Return a feature in words, with twice its uncertainty."""
    if feature.trait is Trait.SCATTER:
        return f"From hole to hole the size scatters {math.exp(feature.value):.1f} times the usual."
    signed = feature.trait not in (Trait.OVAL, Trait.LOBES, Trait.PEOPLE)
    words = _TRAIT_WORDS[feature.trait].format(value=format_small(feature.value, unit, signed))
    return f"{words} (± {format_small(2 * feature.u, unit)})."


def reading_evidence(pattern: Pattern, facts: JobFacts) -> tuple[Evidence, ...]:
    """Return what the sizes show as evidence.

    Parameters
    ----------
    pattern : Pattern
        Traits of the sizes.
    facts : JobFacts
        The job, for tolerance, forecast and what its causes would add.
    """
    stick = Yardstick(facts.width, facts.common_sd, facts.by_cause)
    candidates = tuple(causes().values())
    return tuple(
        Evidence(
            From.READINGS,
            str(feature.trait),
            feature_text(feature, facts.unit),
            log_weights(feature, candidates, stick),
            "sizing model and signatures of the causes",
        )
        for feature in pattern.features
    )


def job_evidence(facts: JobFacts, wrong: float | None) -> tuple[Evidence, ...]:
    """Return what the job's own numbers say as evidence.

    Parameters
    ----------
    facts : JobFacts
        The job.
    wrong : float, optional
        By how much the holes are large, from :func:`wrong_by`. [mm]
    """
    said = list(facts.facts)
    if facts.listed_tir is not None:
        listed = runout_answer(facts, facts.listed_tir, wrong)
        said.append(replace(listed, test="job-tir", text=f"By the tool room's list: {listed.text}"))
    return tuple(fact_evidence(fact) for fact in said)


def fact_evidence(fact: Fact) -> Evidence:
    """Return an answer, or a fact of the job, as evidence.

    Parameters
    ----------
    fact : Fact
        Test, answer and words.
    """
    test = quick_tests()[fact.test]
    base = test.base[fact.answer]
    weights = {}
    for cause in causes():
        weight = math.log(test.shares_of(cause)[fact.answer] / base)
        weights[cause] = max(-MOST, min(MOST, weight))
    kind = From.JOB if test.kind is CheckKind.JOB else From.ANSWER
    return Evidence(kind, fact.test, fact.text, weights, test.source)


def tried_evidence(cause: str) -> Evidence:
    """Return as evidence that the remedy of a cause was tried and the trouble stayed."""
    weights = dict.fromkeys(causes(), 0.0) | {cause: -MOST}
    text = f"Tried in vain: {causes()[cause].remedy}"
    return Evidence(From.TRIED, cause, text, weights, "the remedy itself")


def told_by_readings(pattern: Pattern) -> tuple[str, ...]:
    """Return the tests that the readings make needless."""
    traits = {feature.trait for feature in pattern.features}
    needless = []
    if {Trait.ENTRY, Trait.EXIT} <= traits and Trait.DRIFT in traits:
        needless += [PATTERN, "first-last"]
    elif Trait.DRIFT in traits:
        needless.append("first-last")
    if Trait.TIME in traits:
        needless.append("soak")
    if Trait.PEOPLE in traits:
        needless.append("repeat")
    return tuple(needless)


def gather(
    seen: Sequence[str],
    pattern: Pattern,
    facts: JobFacts,
    answers: Sequence[Fact],
    priors: Priors,
    tried: Iterable[str] = (),
) -> tuple[Evidence, ...]:
    """Return all evidence of a case: seen, read, known of the job, answered.

    Parameters
    ----------
    seen : sequence of str
        Codes of the symptoms, at least one.
    pattern : Pattern
        Traits of the sizes; empty without readings.
    facts : JobFacts
        The job.
    answers : sequence of Fact
        Tests that were answered; the last answer to a test counts.
    priors : Priors
        What is expected.
    tried : iterable of str
        Causes whose remedy was tried in vain.
    """
    last = {fact.test: fact for fact in answers}
    return (
        *seen_evidence(seen, priors),
        *reading_evidence(pattern, facts),
        *job_evidence(facts, wrong_by(facts, pattern, seen)),
        *(fact_evidence(fact) for fact in last.values()),
        *(tried_evidence(cause) for cause in dict.fromkeys(tried)),
    )
