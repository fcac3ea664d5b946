"""How the chips of a reamer come: nested, long, good or heavy. A heuristic that says so.

No data set of reaming chips by feed and stock is known. Two figures that point the right way are
put together: the strain of the chip when it is bent out of its own curl, which breaks it, and how
flat it is, which makes a ribbon of it. The borders are judgement, until the shop has logged its
own chips.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.cutting.domain import Array, lead_angle, not_negative, positive
from holewright.cutting.evacuation import (
    CHIP_COMPRESSION_RATIO,
    CURL_RADIUS,
    BulkRatio,
    ChipForm,
    bulk_ratio,
    curl_strain,
)
from holewright.shop.material import ChipClass

BREAKING_STRAIN = {ChipClass.SHORT: 0.02, ChipClass.MEDIUM: 0.05, ChipClass.LONG: 0.08}
"""Strain at which a chip breaks. [-] Steel about 0.05, from memory; the other two own judgement."""

RIBBON = 8.0
"""Width over thickness from which an unbroken chip lies flat and nests. [-] Own judgement."""

HEAVY = 4.0
"""Strain over that at which it breaks, from which chips are thick enough to load the edge more
than they need to. [-] Own judgement."""


class ChipKind(StrEnum):
    """How the chips come, the most awkward first."""

    NEST = "nest"
    """Thin ribbons that wind up about the tool."""
    LONG = "long"
    """Unbroken, but stiff enough to find their way out."""
    GOOD = "good"
    """Broken."""
    HEAVY = "heavy"
    """Broken, and thicker than needed: more load and a rougher wall for nothing."""


KINDS = tuple(ChipKind)


_FORM = {
    ChipKind.NEST: ChipForm.SNARLED,
    ChipKind.LONG: ChipForm.LONG_HELICAL,
    ChipKind.GOOD: ChipForm.SHORT_HELICAL,
    ChipKind.HEAVY: ChipForm.BROKEN,
}


def chip_kind(h: ArrayLike, b: ArrayLike, chips: ChipClass) -> NDArray[np.intp]:
    r"""Return how the chips come, as a place in :data:`KINDS`.

    Parameters
    ----------
    h : array_like
        Uncut chip thickness, more than 0. [mm]
    b : array_like
        Width of cut, 0 or more. [mm]
    chips : ChipClass
        How the material's chip comes off at usual feeds.

    Returns
    -------
    ndarray of int
        Place in :data:`KINDS`, in the broadcast shape of the inputs. [-]

    Notes
    -----
    A heuristic. With ε of :func:`holewright.cutting.evacuation.curl_strain` and ε_b the strain
    at which the material's chip breaks: heavy from ε = 4 ε_b, good from ε_b; below that a nest
    where b/h is 8 or more, and long otherwise. More feed at the same stock always leads from
    nest by long and good to heavy.

    References
    ----------
    .. [1] Direction: more feed breaks chips, a thin wide chip of low feed and large allowance
       is the hardest to break; trade pages on drilling and finish boring. Borders: own
       judgement.

    Examples
    --------
    Stock of 0.1 a side at 45° in steel, at 0.01, 0.03, 0.1 and 0.2 mm a tooth:

    >>> from numpy import array, sqrt
    >>> kinds = chip_kind(array([0.01, 0.03, 0.1, 0.2]) / sqrt(2), 0.141, ChipClass.MEDIUM)
    >>> [str(KINDS[i]) for i in kinds]
    ['nest', 'long', 'good', 'heavy']
    """
    thickness, width = positive("h", h), not_negative("b", b)
    breaks = curl_strain(thickness) / BREAKING_STRAIN[chips]
    flat = width / thickness
    kind: NDArray[np.intp] = np.select(
        [breaks >= HEAVY, breaks >= 1, flat >= RIBBON],
        [KINDS.index(ChipKind.HEAVY), KINDS.index(ChipKind.GOOD), KINDS.index(ChipKind.NEST)],
        KINDS.index(ChipKind.LONG),
    ).astype(np.intp)
    return kind


def breaking_feed(KAPR: ArrayLike, chips: ChipClass) -> Array:
    r"""Return the feed per tooth from which chips break.

    .. math:: f_z = 2 R_0 \varepsilon_b / (\zeta \sin\kappa_r)

    Parameters
    ----------
    KAPR : array_like
        Lead angle. [deg]
    chips : ChipClass
        How the material's chip comes off at usual feeds.

    Returns
    -------
    ndarray
        Feed per tooth. [mm/tooth]

    Notes
    -----
    The border between long and good of :func:`chip_kind`: a heuristic.
    """
    h = 2 * CURL_RADIUS * BREAKING_STRAIN[chips] / CHIP_COMPRESSION_RATIO
    return h / np.sin(lead_angle(KAPR))


def bulk_of(kind: ChipKind) -> BulkRatio:
    """Return how many times their own volume such chips take."""
    return bulk_ratio(_FORM[kind])
