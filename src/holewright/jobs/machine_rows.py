"""Makes machines, holders and coolants of what a shop file says of them."""

from __future__ import annotations

import re
from dataclasses import replace

from holewright.errors import InputError
from holewright.jobs.fields import (
    Fields,
    choice,
    length,
    length_or_zero,
    number,
    optional,
    quantity,
    refuse,
    refuse_unknown,
    required,
    text,
    texts,
    yes,
)
from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.holder import Holder, HolderKind
from holewright.shop.holders import typical_holder
from holewright.shop.machine import Machine
from holewright.uncertainty import Known, Tag
from holewright.units import read_number, read_quantity

MACHINE_KEYS = (
    "id",
    "n_min",
    "n_max",
    "power",
    "torque",
    "thrust",
    "rapid",
    "feed_max",
    "tool_change_s",
    "rate",
    "spindle_tir_measured",
    "spindle_tir_u",
    "coolants",
    "can_bore",
    "acceleration_m_s2",
    "jerk_m_s3",
    "spindle_run_up_s",
    "rapid_overlap",
)
HOLDER_KEYS = (
    "id",
    "kind",
    "tir_measured",
    "tir_u",
    "stiffness",
    "DMM_min",
    "DMM_max",
    "BD",
    "change_s",
)
_TIR_U = 0.0005
"""Standard uncertainty of an indicator that shows whole µm (common practice). [mm]"""
_SPINDLE_TIR = Known(0.002, Tag.DEFAULT, "holder-runout-memory", 0.0006)

_FLUIDS = {
    "soluble": Fluid.SOLUBLE,
    "soluble oil": Fluid.SOLUBLE,
    "emulsion": Fluid.SOLUBLE,
    "neat": Fluid.NEAT_OIL,
    "neat oil": Fluid.NEAT_OIL,
    "cutting oil": Fluid.NEAT_OIL,
    "oil": Fluid.NEAT_OIL,
    "mql": Fluid.MQL,
    "dry": Fluid.DRY,
    "air": Fluid.DRY,
}
_HOLDERS = {
    "drill chuck, keyless": HolderKind.DRILL_CHUCK,
    "keyless chuck": HolderKind.DRILL_CHUCK,
    "collet chuck": HolderKind.COLLET,
    "power chuck": HolderKind.MILLING_CHUCK,
    "shrink": HolderKind.SHRINK,
    "shrink fit": HolderKind.SHRINK,
    "hydraulic chuck": HolderKind.HYDRAULIC,
    "floating holder": HolderKind.FLOATING,
}
_COOLANT = 'must be such as "soluble 8 %, through, 40 bar", "soluble 8 %, flood", "MQL" or "dry"'
_CONCENTRATION = re.compile(r"(?P<fluid>[a-z ]+?)\s*(?P<percent>\d+(?:[.,]\d+)?)\s*%")
_MOST_BAR = 500.0


def read_coolant(written: str, field: str = "coolant") -> Coolant:
    """Return a coolant as people write it: ``soluble 8 %, through, 40 bar``.

    Raises
    ------
    InputError
        If a part of it isn't understood, or the parts contradict one another.

    Examples
    --------
    >>> read_coolant("soluble 8 %, flood").concentration
    8.0
    """
    first, *rest = [part.strip().lower() for part in re.split(r",\s|;", written)]
    match = _CONCENTRATION.fullmatch(first)
    fluid = _FLUIDS.get(match["fluid"] if match else first)
    if fluid is None:
        raise InputError(field, written, _COOLANT)
    concentration = float(read_number(match["percent"], field)) if match else None
    if concentration is not None and (fluid is not Fluid.SOLUBLE or not 0 < concentration <= 50):
        raise InputError(field, written, "can have a concentration from 0 to 50 % if soluble")
    through, pressure = False, 0.0
    for part in rest:
        if part in ("through", "through coolant", "through the tool", "internal"):
            through = True
        elif part not in ("flood", "external"):
            pressure = _pressure(part, written, field)
    if through and fluid is Fluid.DRY:
        raise InputError(field, written, "can't be both dry and through the tool")
    return Coolant(fluid, through, pressure, concentration)


def _pressure(part: str, written: str, field: str) -> float:
    try:
        pressure = read_quantity(part, "pressure", field)
    except InputError:
        raise InputError(field, written, f"{_COOLANT}; {part!r} isn't understood") from None
    if not 0 < pressure <= _MOST_BAR:
        raise InputError(field, written, f"must have a pressure up to {_MOST_BAR:.0f} bar")
    return pressure


def measured_or(
    fields: Fields, key: str, u_key: str, default: Known, *, usual_u: float, source: str
) -> Known:
    """Return a measured length with its uncertainty, or the default where nobody measured."""
    if key not in fields.values:
        if u_key in fields.values:
            refuse(fields, u_key, f"needs {key} beside it")
        return default
    return Known(
        length_or_zero(fields, key),
        Tag.MEASURED,
        source,
        optional(fields, u_key, length_or_zero, usual_u),
    )


def machine(fields: Fields) -> Machine:
    """Return a machine.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, MACHINE_KEYS)
    n_min = optional(fields, "n_min", number, 50.0)
    n_max = required(fields, "n_max", number, "n_max = 12000")
    if not n_min < n_max:
        refuse(fields, "n_max", f"must be above n_min, {n_min:g} 1/min")
    return Machine(
        id=required(fields, "id", text, 'id = "mill 1"'),
        n_min=n_min,
        n_max=n_max,
        power=required(fields, "power", quantity("power"), 'power = "15 kW"'),
        torque=optional(fields, "torque", quantity("torque"), None),
        thrust=optional(fields, "thrust", quantity("force"), 4000.0),
        rapid=optional(fields, "rapid", quantity("feed speed"), 15000.0),
        feed_max=optional(fields, "feed_max", quantity("feed speed"), 5000.0),
        tool_change_s=optional(fields, "tool_change_s", number, 10.0),
        rate=optional(fields, "rate", number, 80.0),
        spindle_tir=measured_or(
            fields,
            "spindle_tir_measured",
            "spindle_tir_u",
            _SPINDLE_TIR,
            usual_u=_TIR_U,
            source="shop file",
        ),
        coolants=optional(fields, "coolants", _coolants, (Coolant(),)),
        can_bore=optional(fields, "can_bore", yes, False),
        acceleration=1000 * optional(fields, "acceleration_m_s2", _positive, 3.0),
        jerk=1000 * optional(fields, "jerk_m_s3", _positive, 50.0),
        spindle_run_up_s=optional(fields, "spindle_run_up_s", number, 2.0),
        rapid_overlap=optional(fields, "rapid_overlap", _share, 0.0),
    )


def _positive(fields: Fields, key: str) -> float:
    value = number(fields, key)
    if value <= 0:
        refuse(fields, key, "must be more than 0")
    return value


def _share(fields: Fields, key: str) -> float:
    value = number(fields, key)
    if value > 1:
        refuse(fields, key, "must be a share from 0, exact stops, to 1")
    return value


def _coolants(fields: Fields, key: str) -> tuple[Coolant, ...]:
    written = texts(fields, key)
    if not written:
        refuse(fields, key, f"must name at least one; each {_COOLANT}")
    try:
        return tuple(read_coolant(one, key) for one in written)
    except InputError as error:
        raise error.at(fields.place(key)) from None


def holder(fields: Fields) -> Holder:
    """Return a holder; what isn't said of it is typical of its kind.

    Raises
    ------
    InputError
        If a key is missing, unknown, or its value can't be used.
    """
    refuse_unknown(fields, HOLDER_KEYS)
    kind = required(fields, "kind", choice(HolderKind, _HOLDERS), 'kind = "hydraulic"')
    usual = typical_holder(required(fields, "id", text, 'id = "HY 12"'), kind)
    found = replace(
        usual,
        tir=measured_or(
            fields, "tir_measured", "tir_u", usual.tir, usual_u=_TIR_U, source="shop file"
        ),
        stiffness=optional(fields, "stiffness", number, usual.stiffness),
        DMM_min=optional(fields, "DMM_min", length_or_zero, usual.DMM_min),
        DMM_max=optional(fields, "DMM_max", length_or_zero, usual.DMM_max),
        BD=optional(fields, "BD", length, usual.BD),
        change_s=optional(fields, "change_s", number, usual.change_s),
    )
    if found.DMM_min > found.DMM_max:
        refuse(fields, "DMM_max", f"must not be less than DMM_min, {found.DMM_min:g} mm")
    if found.stiffness <= 0:
        refuse(fields, "stiffness", "must be more than 0 N/mm")
    return found
