"""A tool room by geometry alone, for a job that names none."""

from __future__ import annotations

from functools import cache

from holewright.shop.coolant import Coolant, Fluid
from holewright.shop.drill import Drill, DrillKind
from holewright.shop.drill_sizes import standard_drills
from holewright.shop.holder import Holder, HolderKind
from holewright.shop.holders import typical_holder
from holewright.shop.machine import Machine
from holewright.shop.make_tolerance import drill_by_label, reamer_by_size, reamer_h7_by_label
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.pins import pin_set
from holewright.shop.reamer import CoolantExit, Helix, Reamer, ReamerKind
from holewright.shop.shop import Shop
from holewright.shop.typical import typical_drill, typical_reamer
from holewright.uncertainty import Known, Tag
from holewright.units import Unit, mm_from, read_number

GENERIC_NAME = "built-in tool room: usual tools by geometry, none of them in the drawer"

_MACHINES = (
    Machine(
        id="vertical machining centre",
        n_min=50,
        n_max=12000,
        power=15000,
        torque=95000,
        thrust=8000,
        rapid=36000,
        feed_max=15000,
        tool_change_s=4,
        rate=85,
        spindle_tir=Known(0.002, Tag.DEFAULT, "holder-runout-memory", 0.0006),
        coolants=(
            Coolant(Fluid.SOLUBLE, through=True, pressure=40, concentration=8),
            Coolant(Fluid.SOLUBLE, concentration=8),
        ),
        can_bore=True,
    ),
    Machine(
        id="benchtop mill",
        n_min=200,
        n_max=2500,
        power=375,
        thrust=1000,
        rapid=2000,
        feed_max=1000,
        tool_change_s=120,
        rate=60,
        spindle_tir=Known(0.02, Tag.ASSUMED, "own-judgement", 0.006),
        coolants=(Coolant(Fluid.NEAT_OIL),),
        can_bore=True,
    ),
)
_DRILL_SPANS = {  # smallest and largest diameter offered. [mm]
    DrillKind.JOBBER_HSS: (1.0, 20.0),
    DrillKind.STUB_HSS: (1.0, 25.0),
    DrillKind.CARBIDE: (3.0, 20.0),
    DrillKind.CARBIDE_FOUR_MARGIN: (3.0, 20.0),
}
_METRIC_REAMERS = (3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 25, 28, 30, 32)
_INCH_REAMERS = ("1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "3/4", "1")
_INCH_STEPS = ("0", ".0005", ".001")
_BUILDS = (
    (ReamerKind.HSS, Helix.STRAIGHT, CoolantExit.NONE),
    (ReamerKind.HSS, Helix.LEFT, CoolantExit.NONE),
    (ReamerKind.HSS, Helix.RIGHT, CoolantExit.NONE),
    (ReamerKind.COATED_CARBIDE, Helix.LEFT, CoolantExit.SIDE),
    (ReamerKind.COATED_CARBIDE, Helix.STRAIGHT, CoolantExit.FRONT),
)


_SERIES = {
    Unit.MM: ("metric",),
    Unit.INCH: ("number", "letter", "fraction"),
    None: ("number", "letter", "fraction", "metric"),
}


def _drills(unit: Unit | None) -> tuple[Drill, ...]:
    return tuple(
        typical_drill(
            f"{size.designation} {kind}",
            kind,
            drill_by_label(size.diameter, kind, Unit.MM if size.series == "metric" else Unit.INCH),
            owned=False,
        )
        for kind, (low, high) in _DRILL_SPANS.items()
        for size in standard_drills(low, high, _SERIES[unit])
    )


def _reamer_labels(unit: Unit | None) -> list[tuple[str, Known]]:
    metric = () if unit is Unit.INCH else _METRIC_REAMERS
    labels = [(f"{size} H7", reamer_h7_by_label(size)) for size in metric]
    for text in () if unit is Unit.MM else _INCH_REAMERS:
        for step in _INCH_STEPS:
            size = read_number(text) + read_number(step)
            label = f"{size:.4f} in".removeprefix("0")
            labels.append((label, reamer_by_size(mm_from(size, Unit.INCH), Unit.INCH)))
    return labels


def _reamers(unit: Unit | None) -> tuple[Reamer, ...]:
    return tuple(
        typical_reamer(
            f"{label} {'HSS' if kind is ReamerKind.HSS else 'carbide'} {helix}",
            label,
            kind,
            DC,
            helix=helix,
            coolant_exit=coolant_exit,
            owned=False,
        )
        for kind, helix, coolant_exit in _BUILDS
        for label, DC in _reamer_labels(unit)
    )


def _holders() -> tuple[Holder, ...]:
    return tuple(typical_holder(kind.value, kind) for kind in HolderKind)


def _pins() -> tuple[Pin, ...]:
    metric = pin_set("1.00", "20.00", "0.01", Unit.MM, Sense.PLUS, "ZZ")
    inch = pin_set(".0610", ".7500", ".0005", Unit.INCH, Sense.MINUS, "ZZ")
    return metric + inch


@cache
def generic_shop(unit: Unit | None = None) -> Shop:
    """Return a tool room of usual machines, holders, drills, reamers and pins, by geometry.

    Parameters
    ----------
    unit : Unit, optional
        System that drills and reamers come from; both, where none is given.

    Returns
    -------
    Shop
        The tool room.

    Notes
    -----
    No drill or reamer in it is owned: a plan says what to get. Runouts are typical of the
    kind, diameters are what a label allows, prices are classes by judgement.
    """
    return Shop(
        name=GENERIC_NAME,
        machines=_MACHINES,
        holders=_holders(),
        drills=_drills(unit),
        reamers=_reamers(unit),
        pins=_pins(),
        bore_gauges=(
            BoreGauge(
                "three-point bore gauge",
                InstrumentKind.THREE_POINT,
                Known(0.002, Tag.ASSUMED, "own-judgement", 0.0),
                0.001,
            ),
        ),
    )
