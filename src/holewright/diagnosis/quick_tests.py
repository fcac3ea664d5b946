"""Quick tests that tell causes apart: what to do, how long it takes, what the answers mean.

A test is a question with a few answers. For each cause it names, the table holds how often each
answer is to be expected; for all others the usual shares hold. Facts that the job itself states
are questions of the same kind that nobody needs to be asked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from holewright.diagnosis.causes import Cause, Way, causes
from holewright.errors import InputError
from holewright.reference.tables import cite, table


class CheckKind(StrEnum):
    """What a test asks of a person."""

    QUICK = "quick fact"
    """One of the five facts to collect before anything is changed."""
    LOOK = "look"
    """Look, gauge or read; nothing is cut."""
    TRIAL = "trial cut"
    """One hole is cut, with one thing changed."""
    JOB = "fact of the job"
    """Said by the job's own numbers; nobody is asked."""


@dataclass(frozen=True)
class Answer:
    """One answer: the key to type, its words, what it means, and its usual share. [-]"""

    key: str
    words: str
    meaning: str
    base: float


@dataclass(frozen=True)
class QuickTest:
    """One test.

    Parameters
    ----------
    key : str
        Its short name.
    kind : CheckKind
        What it asks of a person.
    question : str
        What is to be found out.
    how : str
        How to do it.
    minutes : float
        What it costs, part and machine at hand. [min]
    only : tuple of str
        Codes of the symptoms that it makes sense for; empty for all.
    safety : tuple of str
        Safety lines that go with it.
    number : str
        What number it reads, where it may be given as one: ``tir``, ``reamer``, ``conc``,
        ``warm``; empty for none.
    answers : tuple of Answer
        Its answers in order.
    shares : mapping of str to tuple of float
        Cause -> how often each answer is to be expected. [-] Own judgement.
    source : str
        Who asks it.
    """

    key: str
    kind: CheckKind
    question: str
    how: str
    minutes: float
    only: tuple[str, ...]
    safety: tuple[str, ...]
    number: str
    answers: tuple[Answer, ...]
    shares: Mapping[str, tuple[float, ...]]
    source: str

    @property
    def base(self) -> tuple[float, ...]:
        """How often each answer comes where none of its causes is at work. [-]"""
        return tuple(answer.base for answer in self.answers)

    def shares_of(self, cause: str) -> tuple[float, ...]:
        """Return how often each answer is to be expected of a cause. [-]"""
        return self.shares.get(cause, self.base)

    def find(self, written: str) -> int:
        """Return the index of the answer that a person names by key or words.

        Raises
        ------
        InputError
            If there is no such answer; the message lists them.
        """
        wanted = " ".join(written.strip().lower().split())
        for index, answer in enumerate(self.answers):
            if wanted in (answer.key, answer.words.lower()):
                return index
        known = "; ".join(f"{answer.key} ({answer.words})" for answer in self.answers)
        raise InputError(f"answer to {self.key}", written, f"must be one of {known}")


PATTERN = "pattern"
"""The test that asks how the error goes; readings that show it make it needless."""

_PATTERN_OF = {
    Way.EVERYWHERE: 0,
    Way.ENTRY: 1,
    Way.EXIT: 1,
    Way.TAPER: 1,
    Way.OVAL: 2,
    Way.LOBES: 2,
    Way.STEADY: 3,
    Way.STEP: 4,
    Way.FIRST: 4,
    Way.RANDOM: 5,
    Way.TIME: 6,
    Way.INSPECTOR: 7,
    Way.NONE: 7,
}
_PATTERN_SURE = 0.7
"""How often a cause is seen to go its own way or ways. [-] Own judgement."""


def _pattern_shares(cause: Cause, base: Sequence[float]) -> tuple[float, ...]:
    """Return what the pattern of a cause is said to be: mostly its own ways, else any."""
    shares = [(1 - _PATTERN_SURE) * share for share in base]
    # The usual way counts double.
    weights = [2.0] + [1.0] * (len(cause.signature) - 1)
    for weight, signature in zip(weights, cause.signature, strict=True):
        shares[_PATTERN_OF[signature.way]] += _PATTERN_SURE * weight / sum(weights)
    return tuple(shares)


def _even(shares: Sequence[float]) -> tuple[float, ...]:
    return tuple(share / sum(shares) for share in shares)


@cache
def quick_tests() -> Mapping[str, QuickTest]:
    """Return all tests by their key, in the order of the table."""
    kinds = {"quick": CheckKind.QUICK, "look": CheckKind.LOOK, "trial": CheckKind.TRIAL}
    answers: dict[str, list[Answer]] = {}
    for row in table("diagnosis_answers", ("test", "key", "base", "answer", "meaning")):
        answers.setdefault(row["test"], []).append(
            Answer(row["key"], row["answer"], row["meaning"], float(row["base"]))
        )
    shares: dict[str, dict[str, tuple[float, ...]]] = {}
    for row in table("diagnosis_shares", ("test", "cause", "shares")):
        own = _even([float(share) for share in row["shares"].split()])
        shares.setdefault(row["test"], {})[row["cause"]] = own
    base = [answer.base for answer in answers[PATTERN]]
    shares[PATTERN] = {key: _pattern_shares(cause, base) for key, cause in causes().items()}
    lines = safety_lines()
    columns = ("test", "kind", "minutes", "only", "safety", "number", "question", "how")
    return {
        row["test"]: QuickTest(
            key=row["test"],
            kind=kinds.get(row["kind"], CheckKind.JOB),
            question=row["question"],
            how=row["how"],
            minutes=float(row["minutes"]),
            only=tuple(row["only"].split()),
            safety=tuple(lines[key] for key in row["safety"].split()),
            number=row["number"],
            answers=tuple(answers[row["test"]]),
            shares=shares.get(row["test"], {}),
            source=cite(row["source"]),
        )
        for row in table("diagnosis_tests", columns)
    }


@cache
def safety_lines() -> Mapping[str, str]:
    """Return the safety lines by their key."""
    return {row["key"]: row["text"] for row in table("diagnosis_safety", ("key", "text"))}


def find_test(written: str) -> QuickTest:
    """Return the test of that key.

    Raises
    ------
    InputError
        If there is none that a person is asked.
    """
    key = written.strip().lower()
    test = quick_tests().get(key)
    if test is None or test.kind is CheckKind.JOB:
        asked = [t.key for t in quick_tests().values() if t.kind is not CheckKind.JOB]
        raise InputError("test", written, "must be one of " + ", ".join(asked))
    return test


@dataclass(frozen=True)
class Conflict:
    """Sources that disagree: never a rule here, always a test.

    Parameters
    ----------
    key : str
        Its short name.
    causes : tuple of str
        Causes that it touches.
    about : str
        The question.
    says, source : str
        One answer, and who gives it.
    against, against_source : str
        The other, and who gives it.
    test : str
        Key of the test that settles it for this job.
    """

    key: str
    causes: tuple[str, ...]
    about: str
    says: str
    source: str
    against: str
    against_source: str
    test: str


@cache
def conflicts() -> tuple[Conflict, ...]:
    """Return what the sources disagree about."""
    columns = ("key", "causes", "about", "says", "against", "against_source", "test")
    return tuple(
        Conflict(
            row["key"],
            tuple(row["causes"].split()),
            row["about"],
            row["says"],
            cite(row["source"]),
            row["against"],
            cite(row["against_source"]),
            row["test"],
        )
        for row in table("diagnosis_conflicts", columns)
    )
