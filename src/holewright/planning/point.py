"""One candidate out of the grid, with plain numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holewright.planning.candidates import Candidates
from holewright.planning.prepare import Prepared
from holewright.shop.holder import Holder
from holewright.shop.reamer import Reamer


@dataclass(frozen=True)
class Point:
    """One candidate, with scalars instead of grids.

    Parameters
    ----------
    candidates : Candidates
        The grid.
    index : tuple of int
        The point.
    """

    candidates: Candidates
    index: tuple[int, ...]

    def at(self, name: str) -> float:
        """Return one of the grid's arrays at this point."""
        array = np.broadcast_to(getattr(self.candidates, name), self.candidates.shape)
        return float(array[self.index])

    @property
    def prepared(self) -> Prepared:
        """The preparation."""
        return self.candidates.prepared[self.index[0]]

    @property
    def reamer(self) -> Reamer:
        """The reamer."""
        return self.candidates.reamers[self.index[1]]

    @property
    def holder(self) -> Holder:
        """The holder."""
        return self.candidates.holders[self.index[2]]

    @property
    def cost_parts(self) -> tuple[tuple[str, float], ...]:
        """What a hole costs, part by part."""
        shape = self.candidates.shape
        return tuple(
            (name, float(np.broadcast_to(part, shape)[self.index]))
            for name, part in self.candidates.cost_parts.items()
        )
