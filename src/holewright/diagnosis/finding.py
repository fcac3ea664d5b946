"""The Finding document: what is seen, what causes it, what to find out next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.diagnosis.case import Priors, list_priors
from holewright.diagnosis.causes import OTHER
from holewright.diagnosis.evidence import Evidence, gather, told_by_readings
from holewright.diagnosis.explain import cautions_of, sentence_of
from holewright.diagnosis.facts import Fact, JobFacts
from holewright.diagnosis.next_test import ENOUGH, NextTest, next_tests
from holewright.diagnosis.pattern import Pattern
from holewright.diagnosis.quick_tests import Conflict, conflicts
from holewright.diagnosis.rank import RankedCause, rank
from holewright.diagnosis.symptoms import symptoms
from holewright.errors import InputError

SHOWN = 0.05
"""Share from which a cause is worth naming. [-] Own judgement."""


@dataclass(frozen=True)
class Finding:
    """What fault finding says at one moment.

    Parameters
    ----------
    seen : tuple of str
        Codes of the symptoms.
    sentence : str
        The answer in one sentence.
    causes : tuple of RankedCause
        All causes, the likeliest first, with what speaks for and against each.
    next : tuple of NextTest
        Tests worth making, the one that tells most for its time first.
    evidence : tuple of Evidence
        All that was heard.
    pattern : Pattern
        How the error goes, as far as readings show it.
    conflicts : tuple of Conflict
        What the sources disagree about among the causes named: to be tested, not believed.
    cautions : tuple of str
        Safety and scope lines.
    answers : tuple of Fact
        Tests that were answered.
    tried : tuple of str
        Causes whose remedy was tried in vain.
    cases : int
        Cases of the shop's own in what was expected. [-]
    act : bool
        Whether the first cause is likely enough to be acted upon.
    """

    seen: tuple[str, ...]
    sentence: str
    causes: tuple[RankedCause, ...]
    next: tuple[NextTest, ...]
    evidence: tuple[Evidence, ...]
    pattern: Pattern
    conflicts: tuple[Conflict, ...]
    cautions: tuple[str, ...]
    answers: tuple[Fact, ...] = ()
    tried: tuple[str, ...] = ()
    cases: int = 0
    act: bool = False

    @property
    def named(self) -> tuple[RankedCause, ...]:
        """The causes worth naming: at least three, and all with a share of a twentieth."""
        return tuple(c for i, c in enumerate(self.causes) if i < 3 or c.share >= SHOWN)


def diagnose(
    seen: Sequence[str],
    facts: JobFacts,
    *,
    pattern: Pattern | None = None,
    answers: Sequence[Fact] = (),
    tried: Sequence[str] = (),
    priors: Priors | None = None,
) -> Finding:
    """Return what causes what is seen, as far as all that is known tells.

    Parameters
    ----------
    seen : sequence of str
        Codes of the symptoms, at least one.
    facts : JobFacts
        The job, from :func:`holewright.diagnosis.facts.facts_of`.
    pattern : Pattern, optional
        Traits of the sizes, from :func:`holewright.diagnosis.pattern.read_pattern`.
    answers : sequence of Fact
        Tests answered so far; the last answer to a test counts.
    tried : sequence of str
        Causes whose remedy was tried in vain.
    priors : Priors, optional
        What is expected; by default that of the lists.

    Returns
    -------
    Finding
        With the ranking, what each piece of evidence does to it, and the next tests.

    Raises
    ------
    InputError
        If nothing is seen, or a code is not known.

    Notes
    -----
    One cause at work, Bayes' rule, evidence independent given the cause. The weights of the
    lists and tests are judgement; ``docs/validation/diagnosis.md`` says how they do on
    simulated faults.
    """
    if not seen:
        raise InputError("seen", "nothing", "must name at least one symptom")
    for code in seen:
        if code not in symptoms():
            raise InputError("seen", code, "must be the code of a symptom, T01 to T24")
    pattern = pattern or Pattern()
    priors = priors or list_priors()
    evidence = gather(seen, pattern, facts, answers, priors, tried)
    ranked = rank(evidence, priors)
    done = {fact.test for fact in answers} | set(told_by_readings(pattern))
    shares = {cause.cause: cause.share for cause in ranked}
    wanted = next_tests(shares, seen, done)
    named = {c.cause for i, c in enumerate(ranked) if i < 3 or c.share >= SHOWN}
    first = ranked[0]
    act = first.share >= ENOUGH and first.cause != OTHER
    return Finding(
        seen=tuple(dict.fromkeys(seen)),
        sentence=sentence_of(ranked, wanted, act=act),
        causes=ranked,
        next=wanted,
        evidence=evidence,
        pattern=pattern,
        conflicts=tuple(c for c in conflicts() if named & set(c.causes)),
        cautions=cautions_of(facts),
        answers=tuple(answers),
        tried=tuple(tried),
        cases=priors.cases,
        act=act,
    )
