"""Each limit of the planner by name: what is compared with what, and the sentence it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from holewright.reasons import Reason
from holewright.units import Unit, format_size

Array = NDArray[np.float64]

_CANNOT_BE_HELD = ("shank-large", "shank-small")
"""Limits that no nearest way may break if another does not: the tool isn't even held."""

_MORE_PLACES = 3
"""Decimal places added at most where value and limit would else read alike."""


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

    def _say(self, value: float, unit: Unit, places: int) -> str:
        if self.unit == "mm" and unit is Unit.INCH:
            return format_size(value, unit, max(places, 1) + 1)
        return f"{value:.{places}f} {self.unit}".strip()

    def _told(self, value: float, limit: float, unit: Unit) -> tuple[str, str]:
        """Return both in words, with as many places as it takes to tell them apart."""
        for places in range(self.places, self.places + _MORE_PLACES + 1):
            said = self._say(value, unit, places), self._say(limit, unit, places)
            if said[0] != said[1]:
                break
        return said

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
        told = self._told(value, limit, unit)
        text = self.sentence.format(value=told[0], limit=told[1])
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


def nearest_way(limits: Sequence[Limit], shape: tuple[int, ...]) -> tuple[int, ...]:
    """Return the candidate that breaks the fewest limits; of several that breaks them the least.

    Parameters
    ----------
    limits : sequence of Limit
        All limits.
    shape : tuple of int
        Shape of the grid.

    Returns
    -------
    tuple of int
        Its index.
    """
    broken = np.zeros(shape, dtype=np.int8)
    for one in limits:
        broken += np.int8(len(limits) if one.code in _CANNOT_BE_HELD else 1) * ~one.holds
    fewest = np.nonzero(broken == broken.min())
    missed = np.zeros(len(fewest[0]))
    for one in limits:
        value = np.broadcast_to(one.value, shape)[fewest]
        limit = np.broadcast_to(one.limit, shape)[fewest]
        over = value - limit if one.at_most else limit - value
        missed += np.maximum(over, 0.0) / np.maximum(np.abs(limit), 1e-9)
    best = int(np.argmin(np.nan_to_num(missed, nan=np.inf)))
    return tuple(int(axis[best]) for axis in fewest)


def broken_at(
    limits: Sequence[Limit], shape: tuple[int, ...], index: tuple[int, ...], unit: Unit = Unit.MM
) -> tuple[Reason, ...]:
    """Return the limits that one candidate breaks.

    Parameters
    ----------
    limits : sequence of Limit
        All limits.
    shape : tuple of int
        Shape of the grid.
    index : tuple of int
        The candidate.
    unit : Unit
        Unit of the print.
    """
    return tuple(
        one.reason(shape, index, unit=unit)
        for one in limits
        if not np.broadcast_to(one.holds, shape)[index]
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
        at its nearest miss; or, if none does, one that is broken where the tool comes nearest.
        A tool that no such limit touches is left out: it isn't the tool's fault.
    """
    reasons = {}
    kept = all_hold(limits, shape)
    of_one = (*shape[:axis], 1, *shape[axis + 1 :])
    for i, name in enumerate(names):
        part = (slice(None),) * axis + (i,)
        if kept[part].any():
            continue
        narrowed = [_of_tool(one, axis, i) for one in limits]
        own = [
            ours
            for one, ours in zip(limits, narrowed, strict=True)
            if max(one.value.shape[axis], one.limit.shape[axis]) > 1
        ]
        alone = [one for one in own if not one.holds.any()]
        if alone:
            reasons[i] = alone[0].reason(of_one, _nearest_miss(alone[0], of_one), name, unit)
            continue
        nearest = nearest_way(narrowed, of_one)
        broken = [one for one in own if not np.broadcast_to(one.holds, of_one)[nearest]]
        if broken:
            reasons[i] = broken[0].reason(of_one, nearest, name, unit)
    return reasons


def _of_tool(limit: Limit, axis: int, i: int) -> Limit:
    """Return a limit for one tool of an axis."""

    def narrow(array: Array) -> Array:
        return np.take(array, [i], axis=axis) if array.shape[axis] > 1 else array

    return replace(limit, value=narrow(limit.value), limit=narrow(limit.limit))


def _nearest_miss(limit: Limit, shape: tuple[int, ...]) -> tuple[int, ...]:
    """Return the candidate that breaks a limit by the least."""
    over = limit.value - limit.limit if limit.at_most else limit.limit - limit.value
    over = np.broadcast_to(np.where(over > 0, over, np.inf), shape)
    return tuple(int(x) for x in np.unravel_index(int(np.argmin(over)), shape))
