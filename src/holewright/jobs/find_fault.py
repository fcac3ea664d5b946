"""Find a fault: from what is seen on a hole to what causes it, by the job's own data."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from holewright.diagnosis.case import Case, find_cause, priors_from_cases
from holewright.diagnosis.evidence import wrong_by
from holewright.diagnosis.facts import Fact, JobFacts, facts_of
from holewright.diagnosis.finding import Finding, diagnose
from holewright.diagnosis.measured import (
    concentration_answer,
    feel_fact,
    plate_fact,
    reamer_answer,
    runout_answer,
    warmth_answer,
)
from holewright.diagnosis.pattern import Pattern, read_pattern
from holewright.diagnosis.quick_tests import QuickTest, find_test
from holewright.diagnosis.symptoms import find_symptom
from holewright.errors import InputError
from holewright.jobs.fault_checks import Check, spots_of, warmth_of
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import study_job, task_of
from holewright.units import read_length, read_number, read_temperature


@dataclass(frozen=True)
class PlateEffect:
    """What one factor of a test plate did to the size: effect and standard uncertainty. [mm]"""

    factor: str
    effect: float
    u: float


@dataclass(frozen=True)
class Trouble:
    """A job with its trouble, made ready for asking: the job is planned and read once.

    Parameters
    ----------
    job : Job
        The job.
    seen : tuple of str
        Codes of the symptoms.
    facts : JobFacts
        What the job's numbers say.
    pattern : Pattern
        How the error goes, by the readings.
    said : tuple of Fact
        What the readings say beside sizes: temperatures.
    cases : tuple of Case
        The shop's own cases.
    """

    job: Job
    seen: tuple[str, ...]
    facts: JobFacts
    pattern: Pattern
    said: tuple[Fact, ...] = ()
    cases: tuple[Case, ...] = ()

    def find(self, answers: Sequence[Fact] = (), tried: Sequence[str] = ()) -> Finding:
        """Return what causes it, with these answers heard and these remedies tried in vain."""
        return diagnose(
            self.seen,
            self.facts,
            pattern=self.pattern,
            answers=(*self.said, *answers),
            tried=tried,
            priors=priors_from_cases(self.cases),
        )

    def answer(self, test: str, written: str) -> Fact:
        """Return an answer to a test as it was written: its key, its words, or a number.

        Parameters
        ----------
        test : str
            Key of the test.
        written : str
            ``b``, ``metal welded on``; or a number where the test reads one: ``12 µm``,
            ``8.012 mm``, ``5 %``, ``31 C / 21 C`` (part, gauge).

        Raises
        ------
        InputError
            If there is no such test or answer.
        """
        asked = find_test(test)
        if asked.number and any(letter.isdigit() for letter in written):
            return self._number(asked, written)
        index = asked.find(written)
        return Fact(asked.key, index, f"{asked.question} {asked.answers[index].words}.")

    def _number(self, asked: QuickTest, written: str) -> Fact:
        field = f"answer to {asked.key}"
        if asked.number == "tir":
            tir = read_length(written, self.job.unit, field)
            if not tir >= 0:
                raise InputError(field, written, "must be 0 or more")
            return runout_answer(self.facts, tir, wrong_by(self.facts, self.pattern, self.seen))
        if asked.number == "reamer":
            return reamer_answer(self.facts, read_length(written, self.job.unit, field))
        if asked.number == "conc":
            percent = float(read_number(written.strip().removesuffix("%"), field))
            found = concentration_answer(self.facts, percent)
            if found is None:
                keys = "; ".join(f"{a.key} ({a.words})" for a in asked.answers)
                raise InputError(
                    field, written, f"the job doesn't say what it should be; use one of {keys}"
                )
            return found
        part, slash, gauge = written.partition("/")
        if not slash:
            raise InputError(field, written, 'must be part and gauge, such as "31 C / 21 C"')
        return warmth_answer(read_temperature(part, field), read_temperature(gauge, field))


def read_seen(written: str | Iterable[str]) -> tuple[str, ...]:
    """Return the codes of symptoms, written as words or codes with commas between them.

    Parameters
    ----------
    written : str or iterable of str
        ``oversize, bell-mouth``; ``T01``.

    Raises
    ------
    InputError
        If one isn't known, or there is none.
    """
    words = written.split(",") if isinstance(written, str) else list(written)
    found = tuple(find_symptom(word).code for word in words if word.strip())
    if not found:
        raise InputError("seen", repr(written), "must name at least one symptom, such as oversize")
    return tuple(dict.fromkeys(found))


_NEXT = re.compile(r"[;,]\s*(?=[a-z0-9-]+\s*=)", re.IGNORECASE)


def read_answers(trouble: Trouble, written: str) -> tuple[tuple[Fact, ...], tuple[str, ...]]:
    """Return answers written in one line.

    Parameters
    ----------
    trouble : Trouble
        What they belong to.
    written : str
        ``tir=12 um, loupe=b, tried=runout``: a test and its answer; ``tried`` names a cause
        whose remedy was tried in vain.

    Returns
    -------
    answers : tuple of Fact
        Answers to tests.
    tried : tuple of str
        Causes tried in vain.

    Raises
    ------
    InputError
        If a part isn't TEST=ANSWER, or test, answer or cause isn't known.
    """
    answers, tried = [], []
    for part in (p for p in _NEXT.split(written) if p.strip()):
        test, equals, answer = part.partition("=")
        if not equals:
            raise InputError("answers", part.strip(), "must be TEST=ANSWER, such as loupe=b")
        if test.strip().lower() == "tried":
            tried.append(find_cause(answer))
        else:
            answers.append(trouble.answer(test, answer))
    return tuple(answers), tuple(tried)


def look_into(
    job: Job,
    seen: str | Iterable[str],
    *,
    checks: Sequence[Check] = (),
    cases: Iterable[Case] = (),
    feel_sd: float | None = None,
    plate: Iterable[PlateEffect] = (),
) -> Trouble:
    """Return a job with its trouble, ready to be asked about.

    Parameters
    ----------
    job : Job
        The job.
    seen : str or iterable of str
        Symptoms by word or code.
    checks : sequence of Check
        Readings, holes in the order of cutting.
    cases : iterable of Case
        The shop's own cases: they shift what is expected.
    feel_sd : float, optional
        Spread of the hand by a feel study. [mm]
    plate : iterable of PlateEffect
        What a test plate showed.

    Raises
    ------
    InputError
        If a symptom, a gauge or a factor isn't known.
    """
    codes = read_seen(seen)
    facts = facts_of(task_of(job), study_job(job))
    said = list(warmth_of(job, checks, facts))
    if feel_sd is not None:
        said.append(feel_fact(facts, feel_sd))
    said += [plate_fact(facts, p.factor, p.effect, p.u) for p in plate]
    pattern = read_pattern(spots_of(job, checks), expected=facts.expected, between=facts.between_sd)
    return Trouble(job, codes, facts, pattern, tuple(said), tuple(cases))


def find_fault(
    job: Job,
    seen: str | Iterable[str],
    *,
    checks: Sequence[Check] = (),
    answers: str = "",
    cases: Iterable[Case] = (),
) -> Finding:
    """Return what causes what is seen on a job's holes, and which test to make next.

    Parameters
    ----------
    job : Job
        The job.
    seen : str or iterable of str
        Symptoms by word or code: ``oversize``, ``T04``.
    checks : sequence of Check
        Readings, from :func:`holewright.jobs.fault_checks.read_checks`.
    answers : str
        Tests answered so far, as for :func:`read_answers`.
    cases : iterable of Case
        The shop's own cases.

    Returns
    -------
    Finding
        Causes in order, with what speaks for and against each, and the next tests.

    Raises
    ------
    InputError
        If something that was written isn't known.
    """
    trouble = look_into(job, seen, checks=checks, cases=cases)
    heard, tried = read_answers(trouble, answers)
    return trouble.find(heard, tried)
