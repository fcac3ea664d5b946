"""Read a callout, and say what to buy and to gauge it with."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.callout.callout import Callout, DrawingStandard, Limits
from holewright.callout.notation import read_callout
from holewright.errors import InputError
from holewright.gauging.limit_pins import IdealPins, ideal_pins
from holewright.reasons import Reason
from holewright.shop.materials import find_material
from holewright.sizing.make_limits import make_band_reason, reamer_make_limits
from holewright.uncertainty import Known
from holewright.units import Unit, read_temperature

REFERENCE_C = 20.0
"""Temperature at which sizes are meant: ISO 1. [°C]"""

EXAMPLE_C = 30.0
"""Part temperature of the note on warmth where nobody states one. [°C]"""

_STEEL = "1018"
"""What the note on warmth takes for steel, whatever the material."""

_STANDARDS = {
    "iso": DrawingStandard.ISO,
    "iso8015": DrawingStandard.ISO,
    "asme": DrawingStandard.ASME,
    "asmey14.5": DrawingStandard.ASME,
}


@dataclass(frozen=True)
class Growth:
    """What warmth does to the size of a hole.

    Parameters
    ----------
    material : str
        Work material.
    alpha : Known
        Its thermal expansion. [1/K]
    growth : float
        Size of the warm hole less its size at 20 °C. [mm]
    """

    material: str
    alpha: Known
    growth: float


@dataclass(frozen=True)
class HoleLimits:
    """A callout with what follows from it alone.

    Parameters
    ----------
    callout : Callout
        What was understood.
    reamer : Limits
        Make limits of the reamer. [mm]
    reamer_reason : Reason, optional
        Why they need care; None where they don't.
    pins : IdealPins
        GO and NO-GO by the 10 % rule, without regard to what lies in the drawer.
    part_c : float
        Temperature of the part that `growths` speak of. [°C]
    part_c_stated : bool
        Whether somebody stated it; otherwise it is an example.
    growths : tuple of Growth
        For steel, and for the material asked about.
    """

    callout: Callout
    reamer: Limits
    reamer_reason: Reason | None
    pins: IdealPins
    part_c: float
    part_c_stated: bool
    growths: tuple[Growth, ...]


def read_standard(text: str) -> DrawingStandard:
    """Return the standard of a title block from ``iso`` or ``asme``.

    Raises
    ------
    InputError
        If it is neither.
    """
    key = text.lower().replace(" ", "")
    if key not in _STANDARDS:
        raise InputError("standard", text, "must be iso or asme, as in the title block")
    return _STANDARDS[key]


def read_limits(
    text: str,
    *,
    unit: Unit | None = None,
    standard: str | None = None,
    temperature: str | None = None,
    material: str | None = None,
) -> HoleLimits:
    """Return the limits of a callout, and what reamer and pins they ask for.

    Parameters
    ----------
    text : str
        The callout as on the print.
    unit : Unit, optional
        Unit of the print, where the text doesn't say it.
    standard : str, optional
        ``iso`` or ``asme``.
    temperature : str, optional
        Temperature of the part, as it is written: ``31 C``, ``95 F``.
    material : str, optional
        Work material, by any of its names.

    Returns
    -------
    HoleLimits
        Limits, make limits of the reamer, GO and NO-GO, growth with warmth.

    Raises
    ------
    AmbiguousError
        If the text can be read in more than one way.
    InputError
        If it, the temperature or the material can't be read.
    """
    callout = read_callout(
        text,
        unit=unit,
        standard=read_standard(standard) if standard else DrawingStandard.NOT_STATED,
    )
    part_c = EXAMPLE_C if temperature is None else read_temperature(temperature)
    asked = [find_material(material)] if material else []
    steel = find_material(_STEEL)
    growths = [Growth("steel", steel.alpha, _growth(callout, steel.alpha, part_c))]
    growths += [Growth(m.name, m.alpha, _growth(callout, m.alpha, part_c)) for m in asked]
    return HoleLimits(
        callout=callout,
        reamer=reamer_make_limits(callout.limits, unit=callout.unit),
        reamer_reason=make_band_reason(callout.limits, unit=callout.unit),
        pins=ideal_pins(callout.limits, unit=callout.unit),
        part_c=part_c,
        part_c_stated=temperature is not None,
        growths=tuple(growths),
    )


def _growth(callout: Callout, alpha: Known, part_c: float) -> float:
    return callout.nominal * alpha.value * (part_c - REFERENCE_C)
