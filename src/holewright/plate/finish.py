"""What each setting did to the finish: a factor on Ra, by least squares on its logarithm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtr, stdtrit

from holewright.errors import InputError, NoAnswerError, OutOfRangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FinishFit:
    """A line through the logarithm of Ra.

    Parameters
    ----------
    coefficients : ndarray
        ln Ra at causes of 0, and what one more of each cause adds to it. [-]
    covariance : ndarray
        Their covariance.
    sd : float
        Standard deviation of ln Ra about the line. [-]
    freedom : float
        Degrees of freedom. [-]
    n : int
        Holes measured. [-]
    """

    coefficients: Floats
    covariance: Floats
    sd: float
    freedom: float
    n: int

    def factor(self, cause: int, confidence: float = 0.95) -> tuple[float, float, float]:
        """Return what one more of a cause multiplies Ra by, and its interval. [-]"""
        value = float(self.coefficients[1 + cause])
        t = float(stdtrit(self.freedom, (1 + confidence) / 2))
        half = t * math.sqrt(float(self.covariance[1 + cause, 1 + cause]))
        return math.exp(value), math.exp(value - half), math.exp(value + half)

    def at(self, x: ArrayLike) -> float:
        """Return the median Ra at given causes. [µm]"""
        return math.exp(float(self._row(x) @ self.coefficients))

    def share_within(self, x: ArrayLike, limit: float) -> float:
        """Return how likely the next hole at given causes keeps a greatest Ra. [-]"""
        row = self._row(x)
        spread = math.sqrt(float(row @ self.covariance @ row) + self.sd**2)
        return float(stdtr(self.freedom, (math.log(limit) - row @ self.coefficients) / spread))

    def _row(self, x: ArrayLike) -> Floats:
        return np.concatenate([[1.0], np.asarray(x, dtype=float).ravel()])


def fit_finish(ra: Sequence[float], x: ArrayLike) -> FinishFit:
    r"""Fit :math:`\ln Ra = \beta_0 + x'\beta + \varepsilon` by least squares.

    Parameters
    ----------
    ra : sequence of float
        Ra of each hole measured, more than 0. [µm]
    x : array_like
        Causes, shape (holes, causes), in the caller's units.

    Returns
    -------
    FinishFit
        The fit.

    Raises
    ------
    OutOfRangeError
        If an Ra isn't positive.
    InputError
        If the causes aren't told apart.
    NoAnswerError
        If there are fewer than two holes more than coefficients, or Ra doesn't scatter.

    Notes
    -----
    A share on Ra and not an amount: roughness has no values below 0, and its scatter grows
    with it.
    """
    y = np.asarray(ra, dtype=float).ravel()
    if not (y > 0).all():
        raise OutOfRangeError("Ra", float(y[~(y > 0)][0]), "more than 0")
    causes = np.asarray(x, dtype=float).reshape(y.size, -1)
    freedom = y.size - causes.shape[1] - 1
    if freedom < 2:
        raise NoAnswerError(
            f"No effect on finish can be told: Ra was measured in {y.size} holes, "
            f"{causes.shape[1] + 3} are needed."
        )
    centre = causes.mean(0)
    width = np.where(causes.std(0) > 0, causes.std(0), 1.0)
    design = np.column_stack([np.ones(y.size), (causes - centre) / width])
    if np.linalg.matrix_rank(design) < design.shape[1]:
        raise InputError("causes", causes.shape[1], "must each differ in their own way")
    log = np.log(y)
    beta, *_ = np.linalg.lstsq(design, log, rcond=None)
    left = log - design @ beta
    sd = math.sqrt(float(left @ left) / freedom)
    if sd < 1e-9:
        raise NoAnswerError("No effect on finish can be told: Ra doesn't scatter at all.")
    turn = np.eye(design.shape[1])
    turn[1:, 1:] = np.diag(1 / width)
    turn[0, 1:] = -centre / width
    covariance = turn @ np.linalg.inv(design.T @ design) @ turn.T * sd**2
    return FinishFit(turn @ beta, covariance, sd, float(freedom), int(y.size))
