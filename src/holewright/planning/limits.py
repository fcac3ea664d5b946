"""Each limit of the planner by name: what is compared with what, and the sentence it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.reasons import Reason
from holewright.units import Unit, format_size

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Limit:
    """One limit over the whole grid of candidates.

    Parameters
    ----------
    code : str
        Short machine-readable name.
    value, limit : ndarray
        What is compared, both broadcastable to the grid, in `unit`.
    at_most : bool
        Whether `value` may be at most `limit`; otherwise it must be at least that.
    unit : str
        Unit of both.
    sentence : str
        What a machinist reads where it is broken, with ``{value}`` and ``{limit}`` in it.
    places : int
        Decimal places of both in the sentence.
    """

    code: str
    value: Array
    limit: Array
    at_most: bool
    unit: str
    sentence: str
    places: int = 0

    @property
    def holds(self) -> NDArray[np.bool_]:
        """Where it is kept. A value that can't be computed (NaN) breaks it."""
        if self.at_most:
            return np.asarray(self.value <= self.limit)
        return np.asarray(self.value >= self.limit)

    def _say(self, value: float, unit: Unit) -> str:
        if self.unit == "mm" and unit is Unit.INCH:
            return format_size(value, unit, max(self.places, 1) + 1)
        return f"{value:.{self.places}f} {self.unit}".strip()

    def reason(
        self,
        shape: tuple[int, ...],
        index: tuple[int, ...],
        subject: str = "",
        unit: Unit = Unit.MM,
    ) -> Reason:
        """Return the reason at one point of the grid.

        Parameters
        ----------
        shape : tuple of int
            Shape of the grid.
        index : tuple of int
            The point.
        subject : str
            What it is about, said before the sentence.
        unit : Unit
            Unit of the print, for the lengths in the sentence; the values stay in mm.
        """
        value = float(np.broadcast_to(self.value, shape)[index])
        limit = float(np.broadcast_to(self.limit, shape)[index])
        text = self.sentence.format(value=self._say(value, unit), limit=self._say(limit, unit))
        text = f"{subject}: {text}" if subject else f"{text[0].upper()}{text[1:]}"
        return Reason(self.code, text, value, limit, self.unit)


def all_hold(limits: Sequence[Limit], shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Return where every limit is kept, over the whole grid.

    Small masks are joined first, so that the full grid is touched as seldom as possible.
    """
    mask: NDArray[np.bool_] = np.ones((1,) * len(shape), dtype=bool)
    for limit in sorted(limits, key=lambda one: one.holds.size):
        mask = mask & limit.holds
    return np.broadcast_to(mask, shape)


def hopeless(
    limits: Sequence[Limit], shape: tuple[int, ...], unit: Unit = Unit.MM
) -> tuple[Reason, ...]:
    """Return the limits that not one candidate keeps, each at its nearest miss.

    Parameters
    ----------
    limits : sequence of Limit
        All limits.
    shape : tuple of int
        Shape of the grid.
    unit : Unit
        Unit of the print.
    """
    return tuple(
        one.reason(shape, _nearest_miss(one, shape), unit=unit)
        for one in limits
        if not one.holds.any()
    )


def why_not(
    limits: Sequence[Limit],
    shape: tuple[int, ...],
    axis: int,
    names: Sequence[str],
    unit: Unit = Unit.MM,
) -> dict[int, Reason]:
    """Return, for each tool on one axis that has no candidate left, the limit that decided it.

    Parameters
    ----------
    limits : sequence of Limit
        All limits.
    shape : tuple of int
        Shape of the grid.
    axis : int
        Axis of the tools.
    names : sequence of str
        Their names in order.
    unit : Unit
        Unit of the print.

    Returns
    -------
    dict of int to Reason
        By place on the axis: of the limits that depend on the tool, one that alone rules it out,
        or, if none does, the one that rules out most of it; stated at its nearest miss. A tool
        that no such limit touches is left out: it isn't the tool's fault.
    """
    own = [one for one in limits if max(one.value.shape[axis], one.limit.shape[axis]) > 1]
    reasons = {}
    kept = all_hold(limits, shape)
    for i, name in enumerate(names):
        part = (slice(None),) * axis + (i,)
        if kept[part].any():
            continue
        alone = [float(np.broadcast_to(one.holds, shape)[part].mean()) for one in own]
        if min(alone, default=1.0) == 1.0:
            continue
        worst = own[int(np.argmin(alone))]
        reasons[i] = worst.reason(shape, _nearest_miss(worst, shape, axis, i), name, unit)
    return reasons


def _nearest_miss(
    limit: Limit, shape: tuple[int, ...], axis: int = 0, i: int | None = None
) -> tuple[int, ...]:
    """Return the candidate that breaks a limit by the least, of all or of one tool."""
    over = np.broadcast_to(limit.value - limit.limit, shape)
    over = over if limit.at_most else -over
    if i is not None:
        over = np.take(over, [i], axis=axis)
    over = np.where(over > 0, over, np.inf)
    index = [int(x) for x in np.unravel_index(int(np.argmin(over)), over.shape)]
    if i is not None:
        index[axis] = i
    return tuple(index)
