"""What the job's own numbers say: each fact as the answer to a question nobody is asked."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from holewright.callout.callout import Callout, Entry, HoleKind
from holewright.cutting.chip import chip_thickness_by_tooth, least_chip_thickness
from holewright.diagnosis.effects import Expected
from holewright.planning.make_plan import Study
from holewright.planning.point import Point
from holewright.planning.ream_numbers import surviving_eccentricity
from holewright.planning.task import Task
from holewright.shop.coolant import Fluid
from holewright.shop.drill import DrillKind
from holewright.shop.holder import HolderKind
from holewright.shop.reamer import Helix
from holewright.sizing.lobing import QUIET, UNPREDICTABLE
from holewright.sizing.reamed import edge_term, fluid_term, recovery_term, settings_term
from holewright.sizing.stock import least_to_clean_up
from holewright.sizing.temperature import cut_warm
from holewright.sizing.treatment import in_process
from holewright.units import Unit, format_small

THIN_WALL = 0.25
"""Wall over diameter below which a wall is thin. [-] Common practice, no source."""

SLIM, STIFF = 0.25, 0.6
"""Shares of runout that survive below which a reamer is slim, and above which it is stiff. [-]"""

IN_ORDER = 1 / 8
"""Most scatter of a process in order, as a share of the tolerance. Common practice: four of
them either side of the middle."""

_TIGHT = 1.6
"""Stock over what is needed to clean up, below which it is tight. [-] Own judgement."""

_CHIP_NEAR = 2.0
"""Chip over what the edge can cut, below which it is near rubbing. [-] Own judgement."""

_LIST_KELVIN = 10.0
"""By how much a part is hot while it is cut, where that is the fault. [K] Own judgement."""


@dataclass(frozen=True)
class Fact:
    """One fact of the job, as the answer to a test.

    Parameters
    ----------
    test : str
        Key of the test.
    answer : int
        Index of the answer.
    text : str
        The fact with its numbers.
    """

    test: str
    answer: int
    text: str


@dataclass(frozen=True)
class JobFacts:
    """A job as fault finding sees it.

    Parameters
    ----------
    width : float
        Width of the tolerance. [mm]
    expected : float
        Size that the holes should have had: the forecast's mean, or the middle of the zone
        where there is no forecast. [mm]
    common_sd, between_sd : float
        Standard uncertainty of that which all holes share, and the spread from hole to hole.
        [mm]
    runout_share : float
        Share of the runout that reaches the size. [-]
    reamer : float, optional
        Diameter that the planned reamer has or is taken to have. [mm]
    listed_tir : float, optional
        Runout of spindle and holder together, where the tool room's list says that it was
        measured. [mm]
    concentration : float, optional
        Concentration that the coolant should have. [%]
    unit : Unit
        Unit that sentences say first.
    facts : tuple of Fact
        What the job's numbers say.
    by_cause : mapping of str to Expected
        Cause -> what the sizing model says it adds to the size in this job.
    planned : bool
        Whether there is a planned route with a reamer behind the numbers.
    fire : bool
        Whether the swarf burns: titanium and magnesium.
    """

    width: float
    expected: float
    common_sd: float
    between_sd: float
    runout_share: float = 1.0
    reamer: float | None = None
    listed_tir: float | None = None
    concentration: float | None = None
    unit: Unit = Unit.MM
    facts: tuple[Fact, ...] = ()
    by_cause: Mapping[str, Expected] = field(default_factory=dict)
    planned: bool = False
    fire: bool = False


_NO_FORECAST_SD = 0.25
"""Common uncertainty where there is no forecast, as a share of the tolerance. Own judgement."""


def facts_of(task: Task, study: Study) -> JobFacts:
    """Return what a job and its plan say for fault finding.

    Parameters
    ----------
    task : Task
        Callout, material, machine, coolant.
    study : Study
        Its plan with the candidate behind it.

    Returns
    -------
    JobFacts
        Numbers are those of the planned route; what was run may differ, and the tests ask.
    """
    callout = in_process(task.callout)
    width = callout.limits.width
    facts = _drawing(callout) + _material(task)
    burns = task.material.family in ("titanium", "magnesium")
    forecast, point = study.plan.forecast, study.point
    if forecast is None or point is None:
        return JobFacts(
            width=width,
            expected=callout.limits.middle,
            common_sd=_NO_FORECAST_SD * width,
            between_sd=IN_ORDER * width,
            concentration=task.coolant.concentration,
            unit=callout.unit,
            facts=facts,
            fire=burns,
        )
    between = max(forecast.size.sd_between_holes, 1e-4)
    common = math.sqrt(max(forecast.sd**2 - between**2, (0.1 * between) ** 2))
    return JobFacts(
        width=width,
        expected=forecast.mean,
        common_sd=common,
        # A forecast for a set-up that nobody knows is wider than a process in order.
        between_sd=min(between, IN_ORDER * width),
        runout_share=point.at("share"),
        reamer=point.reamer.DC.value,
        listed_tir=point.at("tir") if point.holder.tir.is_measured else None,
        concentration=task.coolant.concentration,
        unit=callout.unit,
        facts=(*facts, *_stock(point), *_cut(task, point), *_tools(point)),
        by_cause=_expected(task, point),
        planned=True,
        fire=burns,
    )


def _drawing(callout: Callout) -> tuple[Fact, ...]:
    """Return what the drawing says. A flat face, or no treatment, is only what nobody denied."""
    blind = callout.kind is HoleKind.BLIND
    crossed = len(callout.cross_bores)
    found = [
        Fact("job-end", int(blind), f"The hole is {callout.kind}."),
        Fact("job-cross", int(crossed > 0), f"Bores that cross it: {crossed or 'none'}."),
    ]
    if callout.entry is not Entry.FLAT:
        found.append(Fact("job-face", 1, f"The entry face is {callout.entry}."))
    if callout.after:
        found.append(Fact("job-after", 1, f"After it is made: {callout.after}."))
    if callout.wall is not None:
        share = callout.wall / callout.nominal
        found.append(
            Fact("job-wall", int(share < THIN_WALL), f"The wall is {share:.2f} of the diameter.")
        )
    return tuple(found)


_GROUPS = {"P": 0, "K": 0, "N": 1, "M": 2, "S": 2, "H": 3}
_FLUIDS = (Fluid.SOLUBLE, Fluid.NEAT_OIL, Fluid.MQL, Fluid.DRY)


def _material(task: Task) -> tuple[Fact, ...]:
    material, fluid = task.material, task.coolant.fluid
    return (
        Fact(
            "job-material",
            _GROUPS.get(material.iso513, 0),
            f"{material.name} is of ISO 513 group {material.iso513}.",
        ),
        Fact("job-fluid", _FLUIDS.index(fluid), f"The fluid is {fluid}."),
    )


def _stock(point: Point) -> tuple[Fact, ...]:
    hole, reamer = point.prepared.hole, point.reamer
    unit = point.candidates.task.callout.unit
    need = float(least_to_clean_up(hole.rz, hole.roundness, reamer.edge_radius))
    least, stock = point.at("stock_side"), point.at("stock")
    ratio = least / need
    most = point.candidates.stock_ranges[point.index[1]].most
    return (
        Fact(
            "job-stock-least",
            0 if ratio > _TIGHT else 1 if ratio > 1 else 2,
            f"The widest drilled hole leaves {format_small(least, unit)} a side; cleaning up "
            f"takes {format_small(need, unit)}.",
        ),
        Fact(
            "job-stock-most",
            int(stock > most),
            f"The plan leaves {format_small(stock, unit)} on diameter; practice allows "
            f"{format_small(most, unit)}.",
        ),
    )


def _cut(task: Task, point: Point) -> tuple[Fact, ...]:
    reamer, material = point.reamer, task.material
    h = chip_thickness_by_tooth(
        point.at("f"),
        reamer.KAPR,
        tooth_error=np.zeros(reamer.ZEFP),
        eccentricity=surviving_eccentricity(point),
    )
    floor = float(least_chip_thickness(reamer.edge_radius))
    chip = float(h.min()) / floor if floor > 0 else math.inf
    growth = float(np.nan_to_num(point.at("growth"), nan=0.0))
    v_c, window = point.at("v_c"), material.edge_window
    welds = material.iso513 in ("N", "M") or bool(window and window[0] <= v_c <= window[1])
    unit = task.callout.unit
    return (
        Fact(
            "job-chip-load",
            0 if chip >= _CHIP_NEAR else 1 if chip >= 1 else 2,
            f"The weakest tooth takes {format_small(float(h.min()), unit)}; its edge cuts from "
            f"about {format_small(floor, unit)}.",
        ),
        Fact(
            "job-whirl",
            0 if growth < QUIET else 1 if growth < UNPREDICTABLE else 2,
            f"Whirl grows by {growth:.2f} in a turn; from 1 on it builds up.",
        ),
        Fact(
            "job-weld",
            int(welds),
            f"{material.name} at {v_c:.0f} m/min "
            f"{'lies in' if welds else 'lies outside'} the range where it welds.",
        ),
    )


_SELF_CENTRING = (DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN, DrillKind.STUB_HSS)
_FLUTES = {Helix.STRAIGHT: 0, Helix.LEFT: 1, Helix.RIGHT: 2}


def _tools(point: Point) -> tuple[Fact, ...]:
    prepared, share = point.prepared, point.at("share")
    led = prepared.spotted or prepared.drill.kind in _SELF_CENTRING
    floats = point.holder.kind is HolderKind.FLOATING
    stands = "stiff" if share > STIFF else "slim" if share < SLIM else "neither stiff nor slim"
    return (
        Fact("job-start", int(not led), f"The drill is {'led' if led else 'not led'}."),
        Fact("job-holder", int(floats), f"The holder is a {point.holder.kind} holder."),
        Fact("job-flutes", _FLUTES[point.reamer.helix], f"The flutes are {point.reamer.helix}."),
        Fact(
            "job-slim",
            0 if share > STIFF else 2 if share < SLIM else 1,
            f"{share:.0%} of the runout survives the cut: the reamer is {stands}.",
        ),
    )


def _expected(task: Task, point: Point) -> dict[str, Expected]:
    """Return what each cause adds to the size, where the sizing model has a term for it.

    The forecast holds the mean of a term already; a fault lies out in its tail, taken as twice
    its standard deviation.
    """
    fluid = fluid_term(task.coolant.fluid)
    spring = recovery_term(task.material)
    edge = edge_term(point.at("v_c"), task.material, task.coolant.fluid)
    heavy = settings_term(0.0, 0.0, 0.2)
    hot = float(cut_warm(task.callout.nominal, task.material.alpha.value, _LIST_KELVIN))
    found = {
        "fluid-enlarges": (2 * float(fluid.sd), float(fluid.sd)),
        "fluid-closes": (-2 * float(fluid.sd), float(fluid.sd)),
        "recovery": (-2 * float(spring.sd), float(spring.sd)),
        "feed-out": (-float(spring.mean), float(spring.sd)),
        "built-up-edge": (float(edge.mean) + 2 * float(edge.sd), 2 * float(edge.sd)),
        "coating-rough": (float(edge.mean) + 2 * float(edge.sd), 2 * float(edge.sd)),
        "stock-much": (float(heavy.mean), float(heavy.sd)),
        "cut-hot": (hot, abs(hot)),
    }
    if task.callout.growth is not None:
        growth = task.callout.growth
        found["treated-later"] = (-2 * growth.per_side, 2 * growth.doubt)
    return {cause: Expected(mean, sd) for cause, (mean, sd) in found.items()}
