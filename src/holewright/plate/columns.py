"""Settings as columns of numbers: what a fit multiplies its effects by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.plate.factors import Factor, Level, Setting
from holewright.units import Unit

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Column:
    """One effect.

    Parameters
    ----------
    name : str
        Its name, alone in a fit.
    factor : Factor
        The factor that it belongs to.
    level : str or float, optional
        The level that is held against the reference; None for a number, said per its step.
    reference : str or float
        The level that it is held against; of a number the first.
    """

    name: str
    factor: Factor
    level: Level | None
    reference: Level

    def value(self, setting_level: Level) -> float:
        """Return the number that stands for a level. [-]"""
        if self.level is not None:
            return float(setting_level == self.level)
        assert isinstance(setting_level, float)
        return setting_level / self.factor.step

    def words(self, unit: Unit = Unit.MM) -> str:
        """Return what one more of it is, in words."""
        if self.level is None:
            return f"{self.factor.step_words} more"
        level = self.factor.words(self.level, unit)
        return f"{level} instead of {self.factor.words(self.reference, unit)}"


def columns_of(factors: Sequence[Factor], *, by_level: Sequence[Factor] = ()) -> tuple[Column, ...]:
    """Return the effects of these factors.

    Parameters
    ----------
    factors : sequence of Factor
        What is varied.
    by_level : sequence of Factor
        Numeric factors whose levels are to stand for themselves, as names do.

    Returns
    -------
    tuple of Column
        One for a number; for names one for each level after the first.
    """
    found = []
    for factor in factors:
        if factor.is_number and factor not in by_level:
            found.append(Column(str(factor.kind), factor, None, factor.levels[0]))
            continue
        first, *others = factor.levels
        found += [Column(f"{factor.kind} = {level}", factor, level, first) for level in others]
    return tuple(found)


def model_matrix(
    factors: Sequence[Factor],
    settings: Sequence[Setting],
    *,
    curved: bool = False,
    intercept: bool = True,
) -> Floats:
    """Return the model matrix of settings, its numeric columns from -1 to 1.

    Parameters
    ----------
    factors : sequence of Factor
        What is varied.
    settings : sequence of tuple
        One level of each factor, for each row.
    curved : bool
        Whether numbers with three levels and more get a square as well.
    intercept : bool
        Whether the first column is all 1.

    Returns
    -------
    ndarray
        Shape (settings, coefficients). [-]
    """
    columns = [np.ones(len(settings))] if intercept else []
    for i, factor in enumerate(factors):
        levels = [setting[i] for setting in settings]
        if factor.is_number:
            x = np.array([float(level) for level in levels])
            low, high = (float(f(factor.levels)) for f in (min, max))
            z = (2 * x - low - high) / (high - low)
            columns.append(z)
            if curved and len(factor.levels) > 2:
                columns.append(z * z)
        else:
            columns += [
                np.array([float(level == other) for level in levels]) for other in factor.levels[1:]
            ]
    return np.stack(columns, axis=1)
