"""Effects of a two-level plate without repeats, and which of them stand out of the noise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtrit

from holewright.errors import OutOfRangeError
from holewright.plate.designs import coded

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Contrasts:
    """Effects of all factors and of their products.

    Parameters
    ----------
    mean : float
        Mean of all holes, in the unit of the values.
    names : tuple of tuple of str
        Factors of each effect: one for a main effect, two for a pair …
    effects : ndarray
        Mean at the high level less mean at the low one, in the unit of the values.
    holes : int
        Holes behind them. [-]
    """

    mean: float
    names: tuple[tuple[str, ...], ...]
    effects: Floats
    holes: int

    @property
    def sums_of_squares(self) -> Floats:
        """Sum of squares of each effect: holes times effect squared over 4."""
        squares: Floats = self.holes * self.effects**2 / 4
        return squares


@dataclass(frozen=True)
class Lenth:
    """What is noise among effects, judged by the effects themselves.

    Parameters
    ----------
    s0 : float
        1.5 times the median of the sizes of the effects.
    pse : float
        Pseudo standard error: the same over effects below 2.5 s0.
    me : float
        An effect larger than this is seldom noise, taken alone (95 %).
    sme : float
        An effect larger than this is seldom the largest noise of them all (95 %).
    """

    s0: float
    pse: float
    me: float
    sme: float


def contrasts(values: ArrayLike, names: Sequence[str]) -> Contrasts:
    """Return all effects of a full two-level plate, one value for each setting.

    Parameters
    ----------
    values : array_like
        Values in standard order: the first factor varies fastest; 2 ** factors of them, in
        one unit.
    names : sequence of str
        The factors.

    Returns
    -------
    Contrasts
        Main effects first, then pairs, triples …

    Raises
    ------
    OutOfRangeError
        If the number of values isn't 2 to the number of factors.
    """
    y = np.asarray(values, dtype=float).ravel()
    k = len(names)
    if k < 1 or y.size != 2**k:
        raise OutOfRangeError("values", y.size, f"{2**k}, one for each setting of {k} factors")
    signs = coded(k)
    groups = [group for size in range(1, k + 1) for group in combinations(range(k), size)]
    effects = np.array([2 * (signs[:, g].prod(axis=1) @ y) / y.size for g in groups])
    return Contrasts(
        float(y.mean()), tuple(tuple(names[i] for i in g) for g in groups), effects, int(y.size)
    )


def lenth(effects: ArrayLike, confidence: float = 0.95) -> Lenth:
    r"""Return Lenth's margins of error for effects without repeats.

    .. math::
        s_0 = 1.5 \operatorname{med}|c_i|, \quad
        PSE = 1.5 \operatorname{med}_{|c_i| < 2.5 s_0}|c_i|, \quad
        ME = t_{(1 + \gamma)/2; m/3}\, PSE

    and SME with :math:`(1 + \gamma^{1/m}) / 2` in place of :math:`(1 + \gamma) / 2`.

    Parameters
    ----------
    effects : array_like
        At least three effects, in one unit.
    confidence : float
        γ, between 0 and 1. [-]

    Returns
    -------
    Lenth
        Margins, in the unit of the effects.

    Raises
    ------
    OutOfRangeError
        If there are fewer than three effects.

    Notes
    -----
    Holds where most effects are nothing but noise. With seven effects it is a coarse tool.

    References
    ----------
    .. [1] R. V. Lenth, "Quick and easy analysis of unreplicated factorials", Technometrics 31
       (1989) 469-473.
    """
    size = np.abs(np.asarray(effects, dtype=float).ravel())
    m = size.size
    if m < 3:
        raise OutOfRangeError("effects", m, "at least 3")
    s0 = 1.5 * float(np.median(size))
    pse = 1.5 * float(np.median(size[size < 2.5 * s0])) if s0 > 0 else 0.0
    t = float(stdtrit(m / 3, (1 + confidence) / 2))
    t_all = float(stdtrit(m / 3, (1 + confidence ** (1 / m)) / 2))
    return Lenth(s0, pse, t * pse, t_all * pse)
