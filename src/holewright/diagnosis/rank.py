"""Which cause is likely, by Bayes' rule, term by term."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.diagnosis.case import Priors
from holewright.diagnosis.causes import causes
from holewright.diagnosis.evidence import Evidence, From


@dataclass(frozen=True)
class Weight:
    """What one piece of evidence does to a cause.

    Parameters
    ----------
    evidence : Evidence
        The evidence.
    times : float
        How much likelier it is under this cause than under the others together, as far as
        what was seen lets them stand; over 1 speaks for the cause. [-]
    """

    evidence: Evidence
    times: float


@dataclass(frozen=True)
class RankedCause:
    """A cause with its share.

    Parameters
    ----------
    cause : str
        Its key.
    share : float
        Probability of it, all evidence heard, one cause being at work. [-]
    before : float
        The same by what was seen alone. [-]
    weights : tuple of Weight
        Each piece of evidence that moves it by a tenth or more, the strongest first.
    """

    cause: str
    share: float
    before: float
    weights: tuple[Weight, ...] = ()


_TOLD = math.log(1.1)


def shares(evidence: Sequence[Evidence], priors: Priors) -> dict[str, float]:
    """Return the probability of each cause.

    Parameters
    ----------
    evidence : sequence of Evidence
        All that is known.
    priors : Priors
        What is expected of causes before anything is known.

    Returns
    -------
    dict of str to float
        Cause -> its probability; they add up to 1. [-]

    Notes
    -----
    One cause at work, and each piece of evidence independent of the others once the cause is
    given: the usual simplification, and the reason for holding every piece to 20 to 1.
    """
    keys, before = list(causes()), priors.of_causes()
    logs = np.log([before[key] for key in keys])
    for piece in evidence:
        logs = logs + np.array([piece.log_weights[key] for key in keys])
    logs -= logs.max()
    p: NDArray[np.float64] = np.exp(logs)
    return dict(zip(keys, (float(x) for x in p / p.sum()), strict=True))


def rank(evidence: Sequence[Evidence], priors: Priors) -> tuple[RankedCause, ...]:
    """Return all causes, the likeliest first, with what speaks for and against each.

    Parameters
    ----------
    evidence : sequence of Evidence
        All that is known.
    priors : Priors
        What is expected.
    """
    after = shares(evidence, priors)
    before = shares([piece for piece in evidence if piece.kind is From.SEEN], priors)
    ordered = sorted(after, key=lambda key: -after[key])
    return tuple(
        RankedCause(key, after[key], before[key], _weights(key, evidence, before))
        for key in ordered
    )


def _weights(
    key: str, evidence: Sequence[Evidence], before: dict[str, float]
) -> tuple[Weight, ...]:
    found = []
    for piece in evidence:
        if piece.kind is From.SEEN:
            continue
        others = math.fsum(
            share * math.exp(piece.log_weights[other])
            for other, share in before.items()
            if other != key
        )
        times = math.exp(piece.log_weights[key]) * (1 - before[key]) / others
        if abs(math.log(times)) >= _TOLD:
            found.append(Weight(piece, times))
    return tuple(sorted(found, key=lambda w: -abs(math.log(w.times))))
