"""Gauge pins and bore gauges."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from holewright.uncertainty import Known


class Sense(StrEnum):
    """On which side of the marked size the maker's tolerance lies."""

    PLUS = "plus"
    MINUS = "minus"


@dataclass(frozen=True)
class Pin:
    """A gauge pin. Marked size is not size.

    Parameters
    ----------
    id : str
        Name in the tool room; by default its marked size as written.
    marked : float
        Marked size. [mm]
    sense : Sense
        Plus or minus pin.
    grade : str
        Maker's class: XX, X, Y, Z or ZZ of ASME B89.1.5. Empty for a calibrated pin.
    calibrated : Known, optional
        Calibrated size with its standard uncertainty. [mm]
    due : date, optional
        Day up to which its calibration, or the check of its class, holds.
    wear : float
        Most that it may have worn since it was made or calibrated, 0 or more. [mm]
    """

    id: str
    marked: float
    sense: Sense
    grade: str = "ZZ"
    calibrated: Known | None = None
    due: date | None = None
    wear: float = 0.0


class InstrumentKind(StrEnum):
    """Which size of a hole an instrument feels (ISO 14405-1)."""

    TWO_POINT = "two-point"
    THREE_POINT = "three-point"


@dataclass(frozen=True)
class BoreGauge:
    """An instrument that gives a number.

    Parameters
    ----------
    id : str
        Name in the tool room.
    kind : InstrumentKind
        What it feels.
    u : Known
        Standard uncertainty of one reading. [mm]
    resolution : float
        Smallest step that it shows. [mm]
    due : date, optional
        Day up to which its calibration holds.
    """

    id: str
    kind: InstrumentKind
    u: Known
    resolution: float
    due: date | None = None
