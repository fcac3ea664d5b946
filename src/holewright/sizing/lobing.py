"""What whirl may do to size: nothing while it dies out, and nobody knows how much once it grows.

Linear theory says whether whirl grows and how many lobes it would leave; how high they become it
doesn't say, and no measured set is known. So the term only widens the forecast near the border,
and past it the planner refuses.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.reference.tables import cite
from holewright.sizing.reamed import GridTerm
from holewright.uncertainty import Tag

QUIET = 0.8
"""Growth in a revolution below which no lobes are reckoned with. [-] Own judgement."""

UNPREDICTABLE = 1.1
"""Growth from which lobes can't be forecast. [-] Own judgement: 1 is the limit of theory, and
its margin constants are guesses."""

HIGHEST = 0.010
"""Greatest amplitude reckoned with between the two. [mm] Own judgement."""


def lobe_amplitude_most(growth: ArrayLike) -> NDArray[np.float64]:
    """Return the greatest amplitude of lobes to reckon with.

    Parameters
    ----------
    growth : array_like
        Growth of whirl in a revolution, from
        :func:`holewright.cutting.whirl.even_whirl`. [-]

    Returns
    -------
    ndarray
        0 up to a growth of 0.8, then rising evenly to 10 µm at 1.1, and 10 µm beyond, where it
        is a floor and no forecast. [mm]
    """
    share = (np.asarray(growth, dtype=np.float64) - QUIET) / (UNPREDICTABLE - QUIET)
    most: NDArray[np.float64] = HIGHEST * np.clip(share, 0.0, 1.0)
    return most


def lobing_term(growth: ArrayLike) -> GridTerm:
    r"""Return what lobes may do to size.

    .. math:: u^2 = \overline{A^2}\; \overline{x^2} = \frac{A_{max}^2}{3} \cdot \frac{2^2}{3}

    Parameters
    ----------
    growth : array_like
        Growth of whirl in a revolution. [-]

    Returns
    -------
    GridTerm
        Mean 0. An amplitude anywhere from 0 to the most changes what is felt by anything from
        -2 A, a pin in dense lobes, to +2 A, the mean of a wall that a long land has wiped.

    References
    ----------
    .. [1] Own model of whirl for both ends; that all between is alike likely is own judgement.
    """
    sd = lobe_amplitude_most(growth) * 2 / 3
    return GridTerm(
        "lobing",
        np.zeros_like(sd),
        sd,
        0.5 * sd,
        Tag.DEFAULT,
        cite("own-derivation") + " of whirl; amplitudes: " + cite("own-judgement"),
        "lobes left by whirl make a pin feel small or the wall large",
    )
