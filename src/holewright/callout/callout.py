"""The Callout document: what the drawing asks of one hole feature."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from holewright.units import Unit


class HoleKind(StrEnum):
    """How a hole ends."""

    THROUGH = "through"
    BLIND = "blind"


class DrawingStandard(StrEnum):
    """Which standard the title block names; it decides what "size" means.

    Under ASME Y14.5 a size limit includes the envelope of perfect form (Rule #1). Under
    ISO 8015 and ISO 14405-1 a size is two-point by default, and the envelope is asked for.
    """

    ISO = "ISO 8015"
    ASME = "ASME Y14.5"
    NOT_STATED = "not stated"


class Entry(StrEnum):
    """The face into which the hole starts."""

    FLAT = "flat"
    SLOPED = "sloped"
    ROUGH = "rough"
    CORED = "cored"


class Modifier(StrEnum):
    """Material condition behind a position tolerance."""

    NONE = "none"
    MMC = "M"
    LMC = "L"


@dataclass(frozen=True)
class Limits:
    """Limits of size, inclusive.

    Parameters
    ----------
    lower, upper : float
        Limits of size, lower < upper. [mm]
    """

    lower: float
    upper: float

    @property
    def width(self) -> float:
        """Tolerance width. [mm]"""
        return self.upper - self.lower

    @property
    def middle(self) -> float:
        """Middle of the zone. [mm]"""
        return (self.lower + self.upper) / 2


@dataclass(frozen=True)
class CrossBore:
    """A bore that crosses the hole: its diameter and its depth below the entry face. [mm]"""

    diameter: float
    depth: float


@dataclass(frozen=True)
class Position:
    """A position tolerance: diameter of its zone [mm] and its modifier."""

    diameter: float
    modifier: Modifier = Modifier.NONE


@dataclass(frozen=True)
class Growth:
    """How a treatment moves each wall of the hole inward, e.g. half of an anodised layer.

    Parameters
    ----------
    per_side : float
        Growth of one wall; negative where the treatment takes off. [mm]
    doubt : float
        By how much that may be off either way. [mm]
    """

    per_side: float
    doubt: float


@dataclass(frozen=True)
class Callout:
    """What the drawing asks of one hole feature, at 20 °C.

    Parameters
    ----------
    text : str
        The callout as it was typed.
    nominal : float
        Nominal diameter. [mm]
    limits : Limits
        Limits of size. [mm]
    unit : Unit
        Unit of the print; every sheet shows it first.
    unit_reason : str
        How the unit was known, in words; empty where the text names it.
    fit : str
        Tolerance class such as ``H7``, or empty.
    kind : HoleKind
        Through or blind.
    depth : float, optional
        Depth over which the limits hold; None where the callout doesn't say. [mm]
    floor : float, optional
        Greatest depth that a tool point may reach in a blind hole. [mm]
    standard : DrawingStandard
        What the title block names.
    envelope : bool
        Whether the envelope requirement holds (E in a circle, or ASME Rule #1).
    ra : float, optional
        Greatest Ra. [µm]
    position : Position, optional
        Position tolerance.
    cylindricity : float, optional
        Cylindricity tolerance. [mm]
    wall : float, optional
        Thinnest wall beside the hole. [mm]
    cross_bores : tuple of CrossBore
        Bores that cross it.
    entry : Entry
        The face into which it starts.
    after : str
        Treatment after which the limits hold, e.g. ``hard anodize``; empty for none.
    growth : Growth, optional
        What that treatment does to the walls, where the finisher has said.
    notes : tuple of str
        What was understood beyond the plain text, for the person to confirm.
    """

    text: str
    nominal: float
    limits: Limits
    unit: Unit
    unit_reason: str = ""
    fit: str = ""
    kind: HoleKind = HoleKind.THROUGH
    depth: float | None = None
    floor: float | None = None
    standard: DrawingStandard = DrawingStandard.NOT_STATED
    envelope: bool = False
    ra: float | None = None
    position: Position | None = None
    cylindricity: float | None = None
    wall: float | None = None
    cross_bores: tuple[CrossBore, ...] = ()
    entry: Entry = Entry.FLAT
    after: str = ""
    growth: Growth | None = None
    notes: tuple[str, ...] = field(default=())
