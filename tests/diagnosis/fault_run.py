"""Runs simulated faults through the ranking: cases, searches and how they end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from fault_answers import ANSWERS, tir_read
from fault_jobs import jobs, jobs_for
from fault_person import Shop, complaint
from fault_world import FAULTS, Setting, sound

from holewright.diagnosis.case import list_priors
from holewright.diagnosis.causes import OTHER
from holewright.diagnosis.evidence import gather, told_by_readings, wrong_by
from holewright.diagnosis.facts import Fact, JobFacts
from holewright.diagnosis.measured import runout_answer
from holewright.diagnosis.next_test import ENOUGH, may_be_asked, next_tests
from holewright.diagnosis.pattern import Pattern, read_pattern
from holewright.diagnosis.quick_tests import PATTERN, CheckKind, quick_tests
from holewright.diagnosis.rank import shares
from holewright.diagnosis.symptoms import links_of

GAUGE_U = 0.001
MOST_TESTS = 15
"""After so many tests a search is given up, and counts as so many."""


@dataclass
class Patient:
    """A case on the way to its cause: what is known of it so far."""

    cause: str
    seen: tuple[str, ...]
    facts: JobFacts
    shop: Shop
    pattern: Pattern = field(default_factory=Pattern)
    answers: list[Fact] = field(default_factory=list)
    done: set[str] = field(default_factory=set)
    tried: list[str] = field(default_factory=list)

    def read(self, mapped: bool) -> None:
        """Gauge holes, and take in what the sizes show."""
        spots = self.shop.spots(mapped, self.facts.expected, GAUGE_U)
        self.pattern = read_pattern(
            spots, expected=self.facts.expected, between=self.facts.between_sd
        )
        self.done |= set(told_by_readings(self.pattern))
        if mapped:
            self.done.add(PATTERN)

    def ask(self, test: str) -> None:
        """Make a test."""
        self.done.add(test)
        if test == PATTERN:
            self.read(mapped=True)
        elif test == "tir":
            wrong = wrong_by(self.facts, self.pattern, self.seen)
            self.answers.append(runout_answer(self.facts, tir_read(self.shop) / 1000, wrong))
        else:
            self.answers.append(Fact(test, ANSWERS[test](self.shop), ""))

    def shares(self) -> dict[str, float]:
        """Return the probability of each cause as known now."""
        priors = list_priors()
        evidence = gather(self.seen, self.pattern, self.facts, self.answers, priors, self.tried)
        return shares(evidence, priors)


def patients(count: int, seed: int, *, as_listed: bool = False) -> list[Patient]:
    """Return cases, in any of the jobs in which a cause can be.

    Each cause in turn; or with `as_listed` as often as the lists expect it.
    """
    root = np.random.default_rng(seed)
    found = []
    causes = list(FAULTS)
    expected = list_priors().of_causes()
    often = np.array([expected[cause] for cause in causes])
    for i in range(count):
        cause = causes[i % len(causes)]
        if as_listed:
            cause = str(root.choice(causes, p=often / often.sum()))
        found.append(_patient(cause, np.random.default_rng(root.integers(1 << 62))))
    return found


def _patient(cause: str, rng: np.random.Generator) -> Patient:
    for _ in range(400):
        setting, facts = jobs()[str(rng.choice(jobs_for(cause)))]
        world = _well(setting, rng)
        world = FAULTS[cause](world, rng)
        seen = complaint(world, rng)
        if seen:
            return Patient(cause, seen, facts, Shop(world, seen[0], rng))
    raise AssertionError(f"{cause} never leads to a complaint")


def _well(setting: Setting, rng: np.random.Generator):  # type: ignore[no-untyped-def]
    """Return a sound world of which nobody complains."""
    for _ in range(200):
        world = sound(setting, rng)
        if not complaint(world, rng):
            return world
    raise AssertionError(f"{setting.name} is never sound")


def five_facts(patient: Patient) -> None:
    """Collect the quick facts: gauge, temperatures, map of the hole, tool, drilled hole."""
    for test in quick_tests().values():
        if test.kind is CheckKind.QUICK:
            patient.ask(test.key)


def place(patient: Patient) -> int:
    """Return the place of the true cause in the ranking, from 1."""
    now = patient.shares()
    return 1 + sum(share > now[patient.cause] for share in now.values())


Order = Callable[[Patient], str | None]


def by_information(patient: Patient) -> str | None:
    """Return the test that tells most for its time."""
    found = next_tests(patient.shares(), patient.seen, patient.done)
    return found[0].test if found else None


def by_the_book(patient: Patient) -> str | None:
    """Return the next test in the order of the lists, then of the table."""
    for symptom in patient.seen:
        for link in links_of(symptom):
            if link.test not in patient.done:
                return link.test
    left = may_be_asked(patient.seen, patient.done)
    return left[0].key if left else None


@dataclass(frozen=True)
class Search:
    """How a search for the cause went: tests made, remedies tried, the last one right."""

    tests: int
    remedies: int
    minutes: float

    @property
    def steps(self) -> int:
        """Tests and remedies together."""
        return self.tests + self.remedies


REMEDY_MINUTES = 10.0
"""What it takes to put a remedy in and see whether the trouble is gone. Own judgement."""


def search(patient: Patient, order: Order) -> Search:
    """Ask in an order, act on a cause that is likely enough, until the trouble is gone."""
    tests, minutes = 0, 0.0
    while True:
        now = patient.shares()
        for cause in (*patient.tried, OTHER):
            now[cause] = 0.0
        first = max(now, key=lambda key: now[key])
        test = order(patient) if now[first] < ENOUGH and tests < MOST_TESTS else None
        if test is None:
            patient.tried.append(first)
            minutes += REMEDY_MINUTES
            if first == patient.cause:
                return Search(tests, len(patient.tried), minutes)
        else:
            tests += 1
            minutes += quick_tests()[test].minutes
            patient.ask(test)


def speaks_for(patient: Patient, test: str, cause: str) -> bool:
    """Return whether the answer to a test speaks for a cause, as its words have it."""
    answer = next((f.answer for f in patient.answers if f.test == test), None)
    if answer is None:
        return False
    found = quick_tests()[test]
    return found.shares_of(cause)[answer] > 2 * found.base[answer]


def search_by_hand(patient: Patient) -> Search:
    """Go down the lists as printed: each cause's own test, its remedy where that speaks for it.

    What is left is tried in the order of the lists, then of the table of causes.
    """
    tests, minutes = 0, 0.0
    listed = [link for symptom in patient.seen for link in links_of(symptom)]
    for link in listed:
        if link.test not in patient.done:
            tests += 1
            minutes += quick_tests()[link.test].minutes
            patient.ask(link.test)
        if link.cause not in patient.tried and speaks_for(patient, link.test, link.cause):
            patient.tried.append(link.cause)
            minutes += REMEDY_MINUTES
            if link.cause == patient.cause:
                return Search(tests, len(patient.tried), minutes)
    for cause in (*(link.cause for link in listed), *FAULTS):
        if cause not in patient.tried:
            patient.tried.append(cause)
            minutes += REMEDY_MINUTES
            if cause == patient.cause:
                break
    return Search(tests, len(patient.tried), minutes)


def arrived(count: int, seed: int, *, quick: bool, as_listed: bool = False) -> Sequence[Patient]:
    """Return cases as they arrive, with five readings; with `quick` the five facts too."""
    found = patients(count, seed, as_listed=as_listed)
    for patient in found:
        patient.read(mapped=False)
        if quick:
            five_facts(patient)
    return found


def rates(places: Sequence[int]) -> tuple[float, float]:
    """Return the shares of cases with the cause first, and among the first three."""
    array = np.array(places)
    return float((array == 1).mean()), float((array <= 3).mean())
