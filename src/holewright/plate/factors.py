"""What a test plate varies: factors and their levels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from holewright.errors import InputError
from holewright.units import Unit, format_size

Level = float | str
Setting = tuple[Level, ...]
"""One level of each factor, in the order of the factors."""


class FactorKind(StrEnum):
    """What can be varied."""

    FEED = "feed"
    SPEED = "speed"
    STOCK = "stock"
    DEPTH = "depth"
    COOLANT = "coolant"
    HOLDER = "holder"
    REAMER = "reamer"


class ChangedBy(StrEnum):
    """What it takes to change a level between two holes."""

    PROGRAM = "the program"
    TOOL_CHANGE = "a tool change"
    HAND = "a hand at the machine"


SHARES = frozenset({FactorKind.FEED, FactorKind.SPEED})
"""Factors whose levels are multiples of what is planned."""
LENGTHS = frozenset({FactorKind.STOCK, FactorKind.DEPTH})

_CHANGED_BY = {
    FactorKind.FEED: ChangedBy.PROGRAM,
    FactorKind.SPEED: ChangedBy.PROGRAM,
    FactorKind.DEPTH: ChangedBy.PROGRAM,
    # All holes are drilled before the first is reamed, each drill's in one go.
    FactorKind.STOCK: ChangedBy.PROGRAM,
    FactorKind.REAMER: ChangedBy.TOOL_CHANGE,
    FactorKind.HOLDER: ChangedBy.HAND,
    FactorKind.COOLANT: ChangedBy.HAND,
}

_STEP = {
    FactorKind.FEED: (0.1, "10 % of the planned feed"),
    FactorKind.SPEED: (0.1, "10 % of the planned speed"),
    FactorKind.STOCK: (0.1, "0.1 mm of stock on diameter"),
    FactorKind.DEPTH: (1.0, "1 mm of depth"),
}


@dataclass(frozen=True)
class Factor:
    """Something that the plate varies.

    Parameters
    ----------
    kind : FactorKind
        What it is.
    levels : tuple of float or of str
        Two or more, all different: of feed and speed as multiples of the planned value [-],
        of stock on diameter and of depth as lengths [mm], of the rest names.
    """

    kind: FactorKind
    levels: tuple[Level, ...]

    def __post_init__(self) -> None:
        if len(self.levels) < 2 or len(set(self.levels)) < len(self.levels):
            raise InputError(
                f"levels of {self.kind}",
                ", ".join(str(level) for level in self.levels) or "none",
                "must be two or more, each once",
            )
        for level in self.levels:
            if self.is_number and not (isinstance(level, float) and level > 0):
                raise InputError(f"level of {self.kind}", level, "must be a number of more than 0")
            if not self.is_number and not (isinstance(level, str) and level):
                raise InputError(f"level of {self.kind}", level, "must be a name")

    @property
    def is_number(self) -> bool:
        """Whether its levels have an order and distances."""
        return self.kind in SHARES | LENGTHS

    @property
    def changed_by(self) -> ChangedBy:
        """What it takes to change it between two holes."""
        return _CHANGED_BY[self.kind]

    @property
    def step(self) -> float:
        """Change of a numeric level that effects are said for."""
        return _STEP[self.kind][0]

    @property
    def step_words(self) -> str:
        """That change in words."""
        return _STEP[self.kind][1]

    def words(self, level: Level, unit: Unit = Unit.MM) -> str:
        """Return a level as people say it: ``feed 115 %``, ``holder collet 32``."""
        if not isinstance(level, float):
            return f"{self.kind} {level}"
        if self.kind in SHARES:
            return f"{self.kind} {100 * level:.4g} %"
        return f"{self.kind} {format_size(level, unit, 2 if unit is Unit.MM else 4)}"


def setting_words(factors: Sequence[Factor], setting: Setting, unit: Unit = Unit.MM) -> str:
    """Return a setting as people say it: ``feed 115 %, speed 90 %``.

    Parameters
    ----------
    factors : sequence of Factor
        What is varied.
    setting : tuple
        One level each.
    unit : Unit
        Unit that lengths are said in.
    """
    return ", ".join(f.words(level, unit) for f, level in zip(factors, setting, strict=True))


def changes(factors: Sequence[Factor], settings: Sequence[Setting]) -> dict[ChangedBy, int]:
    """Return how often each kind of change comes up when holes are cut at these settings.

    Parameters
    ----------
    factors : sequence of Factor
        What is varied.
    settings : sequence of tuple
        Setting of each hole, in the order in which they are cut.
    """
    found = dict.fromkeys(ChangedBy, 0)
    for i, factor in enumerate(factors):
        found[factor.changed_by] += sum(a[i] != b[i] for a, b in pairwise(settings))
    return found
