"""Makes the callout of what the table [hole] of a job file says."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

from holewright.callout.callout import (
    Callout,
    CrossBore,
    DrawingStandard,
    Entry,
    HoleKind,
    Modifier,
    Position,
)
from holewright.callout.notation import read_callout
from holewright.errors import InputError
from holewright.jobs.fields import (
    Fields,
    choice,
    length,
    optional,
    placed,
    refuse,
    refuse_unknown,
    required,
    text,
)
from holewright.jobs.growth_field import read_growth
from holewright.units import Unit, format_size, read_length, read_roughness

T = TypeVar("T")

HOLE_KEYS = (
    "callout",
    "standard",
    "finish",
    "position",
    "cylindricity",
    "wall",
    "floor",
    "cross_bores",
    "entry",
    "after",
    "growth",
    "gauged",
)
_STANDARDS = {
    "iso": DrawingStandard.ISO,
    "iso gps": DrawingStandard.ISO,
    "iso 14405-1": DrawingStandard.ISO,
    "asme": DrawingStandard.ASME,
    "ansi": DrawingStandard.ASME,
    "y14.5": DrawingStandard.ASME,
    "none": DrawingStandard.NOT_STATED,
}
_POSITION = re.compile(
    r"(?:dia\.?|[øØ⌀])?\s*(?P<size>[^()]*?)\s*\(?(?P<modifier>[MLS]|MMC|LMC|RFS|Ⓜ|Ⓛ)?\)?",
    re.IGNORECASE,
)
_MODIFIERS = {
    "M": Modifier.MMC,
    "MMC": Modifier.MMC,
    "Ⓜ": Modifier.MMC,
    "L": Modifier.LMC,
    "LMC": Modifier.LMC,
    "Ⓛ": Modifier.LMC,
}
_CROSS_BORE = re.compile(r"[øØ⌀]?\s*(?P<diameter>.+?)\s+at\s+(?P<depth>.+)", re.IGNORECASE)
_ROUGHEST = 100.0


def hole_callout(fields: Fields, unit: Unit | None) -> Callout:
    """Return the callout, with all that stands beside it in the table.

    Parameters
    ----------
    fields : Fields
        The table ``[hole]``.
    unit : Unit, optional
        What the print is in, where the job says so.

    Raises
    ------
    InputError
        If a key is unknown, its value can't be used, or it contradicts the callout.
    """
    refuse_unknown(fields, HOLE_KEYS)
    standard = optional(
        fields, "standard", choice(DrawingStandard, _STANDARDS), DrawingStandard.NOT_STATED
    )
    written = required(fields, "callout", text, '"8 H7 x 22 through"')
    callout = placed(
        fields, "callout", lambda _: read_callout(written, unit=unit, standard=standard)
    )
    fields = replace(fields, unit=callout.unit)
    callout = replace(
        callout,
        ra=_agreed(fields, "finish", _finish, callout.ra),
        floor=_agreed(fields, "floor", length, callout.floor),
        position=_agreed(fields, "position", _position, callout.position),
        cylindricity=_agreed(fields, "cylindricity", length, callout.cylindricity),
        wall=_agreed(fields, "wall", length, callout.wall),
        cross_bores=optional(fields, "cross_bores", _cross_bores, callout.cross_bores),
        entry=optional(fields, "entry", choice(Entry), callout.entry),
        after=optional(fields, "after", text, callout.after),
        growth=optional(fields, "growth", read_growth, callout.growth),
    )
    _check(fields, callout)
    return callout


def _agreed(
    fields: Fields, key: str, reader: Callable[[Fields, str], T], in_callout: T | None
) -> T | None:
    """Return a value from its key or from the callout, which must not contradict each other."""
    value = optional(fields, key, reader, in_callout)
    if in_callout is not None and value != in_callout:
        refuse(fields, key, "must not differ from what the callout says; write it once")
    return value


def _check(fields: Fields, callout: Callout) -> None:
    for key in ("growth", "gauged"):
        if key in fields.values and not callout.after:
            refuse(fields, key, 'goes with a treatment; say which, e.g. after = "hard anodize"')
    if "floor" in fields.values:
        if callout.kind is HoleKind.THROUGH:
            refuse(fields, "floor", "goes with a blind hole; the callout is a through hole")
        if (callout.floor or 0.0) < (callout.depth or 0.0):
            refuse(fields, "floor", f"must not be above the depth, {_said(callout.depth, callout)}")
    for bore in callout.cross_bores:
        if callout.depth is not None and bore.depth > callout.depth:
            refuse(
                fields,
                "cross_bores",
                f"must cross within the depth, {_said(callout.depth, callout)}",
            )
    if callout.cylindricity is not None and callout.cylindricity > callout.nominal:
        refuse(fields, "cylindricity", "must be a tolerance, far less than the diameter")


def _said(mm: float | None, callout: Callout) -> str:
    return "not given" if mm is None else format_size(mm, callout.unit)


def _finish(fields: Fields, key: str) -> float:
    ra = placed(fields, key, lambda written: read_roughness(written, key))
    if not 0 < ra <= _ROUGHEST:
        refuse(fields, key, f"must be a roughness over 0, up to Ra {_ROUGHEST:.0f} µm")
    return ra


def _position(fields: Fields, key: str) -> Position:
    written = text(fields, key)
    match = _POSITION.fullmatch(written)
    if match is None:
        refuse(fields, key, 'must be the diameter of its zone, such as "0.10" or ".002 in (M)"')
    zone = placed(fields, key, lambda _: read_length(match["size"], fields.unit, key))
    if not 0 <= zone <= 100 or (zone == 0 and not match["modifier"]):
        refuse(fields, key, "must be a diameter of more than 0")
    return Position(zone, _MODIFIERS.get((match["modifier"] or "").upper(), Modifier.NONE))


def _cross_bores(fields: Fields, key: str) -> tuple[CrossBore, ...]:
    value = fields.values[key]
    if not isinstance(value, list):
        value = [value]
    return tuple(_cross_bore(fields, key, one) for one in value)


def _cross_bore(fields: Fields, key: str, value: Any) -> CrossBore:
    """Return a bore from ``"5 at 20"`` or ``{ diameter = 5, depth = 20 }``."""
    if isinstance(value, dict):
        one = replace(fields, name="cross_bores", values=value, place=lambda _: fields.place(key))
        refuse_unknown(one, ("diameter", "depth"))
        return CrossBore(
            required(one, "diameter", length, "diameter = 5"),
            required(one, "depth", length, "depth = 20"),
        )
    match = _CROSS_BORE.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        raise InputError(
            key, value, 'must be its diameter and depth, such as "5 at 20"', fields.place(key)
        )
    one = replace(fields, values=match.groupdict(), place=lambda _: fields.place(key))
    return CrossBore(length(one, "diameter"), length(one, "depth"))
