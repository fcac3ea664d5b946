"""Which test to make next: the one that tells most for its time."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.diagnosis.quick_tests import CheckKind, QuickTest, quick_tests

GOING = 2.0
"""What any test costs beside its own time: fetch, walk, write down. [min] Own judgement."""

LEAST_BITS = 0.02
"""A test that tells less isn't worth asking for. [bit] Own judgement."""

ENOUGH = 0.6
"""Probability of a cause from which on it is acted upon and no longer asked about. [-]"""


@dataclass(frozen=True)
class NextTest:
    """A test that is worth making.

    Parameters
    ----------
    test : str
        Its key.
    bits : float
        How much it is expected to tell about the cause. [bit]
    minutes : float
        What it costs. [min]
    parts : tuple of str
        The causes that it tells apart best, the likeliest first.
    """

    test: str
    bits: float
    minutes: float
    parts: tuple[str, ...] = ()

    @property
    def bits_per_minute(self) -> float:
        """What it tells for its time, going there included. [bit/min]"""
        return self.bits / (self.minutes + GOING)


def entropy(p: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the entropy of probabilities along the last axis. [bit]"""
    safe = np.where(p > 0, p, 1.0)
    bits: NDArray[np.float64] = -(p * np.log2(safe)).sum(axis=-1)
    return bits


def expected_information(test: QuickTest, causes: Mapping[str, float]) -> float:
    r"""Return how much a test is expected to tell about the cause.

    .. math:: I = H(C) - \sum_a P(a)\, H(C \mid a)

    Parameters
    ----------
    test : QuickTest
        The test.
    causes : mapping of str to float
        Cause -> its probability. [-]

    Returns
    -------
    float
        Mutual information of answer and cause. [bit]

    References
    ----------
    .. [1] Lindley, D. V. (1956), "On a measure of the information provided by an experiment",
       Ann. Math. Statist. 27, 986-1005.
    """
    p = np.array(list(causes.values()))
    given = np.array([test.shares_of(cause) for cause in causes])
    joint = p[:, np.newaxis] * given
    answers = joint.sum(axis=0)
    after = entropy((joint / answers).T)
    return float(max(entropy(p) - (answers * after).sum(), 0.0))


def may_be_asked(seen: Sequence[str], done: Collection[str]) -> tuple[QuickTest, ...]:
    """Return the tests that make sense for what was seen and aren't made yet.

    Parameters
    ----------
    seen : sequence of str
        Codes of the symptoms.
    done : collection of str
        Keys of tests that are made, or that the readings make needless.
    """
    return tuple(
        test
        for test in quick_tests().values()
        if test.kind is not CheckKind.JOB
        and test.key not in done
        and (not test.only or set(test.only) & set(seen))
    )


def next_tests(
    causes: Mapping[str, float], seen: Sequence[str], done: Collection[str] = ()
) -> tuple[NextTest, ...]:
    """Return the tests worth making, the one that tells most for its time first.

    Parameters
    ----------
    causes : mapping of str to float
        Cause -> its probability. [-]
    seen : sequence of str
        Codes of the symptoms.
    done : collection of str
        Keys of tests that are made, or that the readings make needless.
    """
    found = []
    for test in may_be_asked(seen, done):
        bits = expected_information(test, causes)
        if bits >= LEAST_BITS:
            named = sorted((c for c in causes if c in test.shares), key=lambda c: -causes[c])
            parts = tuple(c for c in named if causes[c] >= 0.02)[:4]
            found.append(NextTest(test.key, bits, test.minutes, parts))
    return tuple(sorted(found, key=lambda t: -t.bits_per_minute))
