"""The Plate document: which holes to cut, at which settings, in which order, and why so many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.plate.effect import LevelMean, PlateEffect
from holewright.plate.factors import Factor, Setting, setting_words
from holewright.plate.layout import Layout, PlateHole, row_name
from holewright.plate.power import Need
from holewright.reasons import Reason
from holewright.units import Unit

CAUTIONS = (
    "A test plate goes beyond what is proven: guards closed, somebody beside it for every hole.",
    "Clamp the plate against the grab when a drill or reamer breaks through.",
    "Stop the spindle before you gauge, look at an edge or clear chips; no gloves near a turning "
    "tool.",
)


@dataclass(frozen=True)
class Plate:
    """A test plate.

    Parameters
    ----------
    factors : tuple of Factor
        What it varies.
    settings : tuple of tuple
        Setting of each row, row A first.
    layout : Layout
        Where the holes lie and in which order they are cut.
    need : Need, optional
        Why there are so many holes a row; None where somebody said how many.
    orders : tuple of Reason
        What the order costs, and what the others would; the one taken first.
    noted : tuple of Reason
        What to know: what can't be told apart, settings outside a limit.
    cautions : tuple of str
        Safety and scope lines.
    """

    factors: tuple[Factor, ...]
    settings: tuple[Setting, ...]
    layout: Layout
    need: Need | None
    orders: tuple[Reason, ...]
    noted: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def holes(self) -> tuple[PlateHole, ...]:
        """All holes in the order of cutting."""
        return self.layout.holes

    @property
    def a_row(self) -> int:
        """Holes in a row. [-]"""
        return len(self.holes) // len(self.settings)

    def setting_of(self, hole: PlateHole) -> Setting:
        """Return the setting of a hole."""
        return self.settings[hole.row]

    def row_words(self, row: int, unit: Unit = Unit.MM) -> str:
        """Return a row as people say it: ``row B: feed 85 %``."""
        return f"row {row_name(row)}: {setting_words(self.factors, self.settings[row], unit)}"


@dataclass(frozen=True)
class RowResult:
    """What one setting gave.

    Parameters
    ----------
    setting : tuple
        The setting.
    words : str
        The setting in words.
    holes : int
        Holes cut. [-]
    mean, lower, upper : float
        Mean size and its interval, at the middle of the order of cutting. [mm]
    inside : float
        Share of holes inside the limits there, by the fit. [-]
    good_chips : float, optional
        Share of holes whose chips leave by themselves; None where chips weren't noted. [-]
    ra : float, optional
        Median Ra. [µm]
    ra_within : float, optional
        How likely a hole keeps the greatest Ra. [-]
    speed : float
        Speed of the way in over that planned. [-]
    """

    setting: Setting
    words: str
    holes: int
    mean: float
    lower: float
    upper: float
    inside: float
    good_chips: float | None
    ra: float | None
    ra_within: float | None
    speed: float


@dataclass(frozen=True)
class PlateResult:
    """What a test plate showed.

    Parameters
    ----------
    factors : tuple of Factor
        What was varied.
    holes : int
        Holes with a usable reading. [-]
    size : tuple of PlateEffect
        Effects on size.
    drift : PlateEffect
        What the order of cutting did to it.
    chips, finish : tuple of PlateEffect
        Effects on chip form and on Ra.
    means : tuple of LevelMean
        Main effects on size.
    rows : tuple of RowResult
        What each setting gave.
    scatter, scatter_se : float
        Scatter of one hole about what its setting explains, and its standard error. [mm]
    recommended : int, optional
        Row to run; None where none can be recommended.
    sentence : str
        The recommendation in one sentence.
    because : tuple of Reason
        Why that one, and why not the others.
    not_shown : tuple of str
        What the plate did not show.
    noted : tuple of Reason
        What to know about the analysis; readings that can't all be true.
    cautions : tuple of str
        Safety and scope lines.
    """

    factors: tuple[Factor, ...]
    holes: int
    size: tuple[PlateEffect, ...]
    drift: PlateEffect
    chips: tuple[PlateEffect, ...]
    finish: tuple[PlateEffect, ...]
    means: tuple[LevelMean, ...]
    rows: tuple[RowResult, ...]
    scatter: float
    scatter_se: float
    recommended: int | None
    sentence: str
    because: tuple[Reason, ...]
    not_shown: tuple[str, ...]
    noted: tuple[Reason, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS


def speed_of(factors: Sequence[Factor], setting: Setting) -> float:
    """Return the feed speed of a setting over the planned one: speed times feed. [-]

    Parameters
    ----------
    factors : sequence of Factor
        What is varied.
    setting : tuple
        One level each.
    """
    product = 1.0
    for factor, level in zip(factors, setting, strict=True):
        if factor.kind in ("feed", "speed") and isinstance(level, float):
            product *= level
    return product
