"""Form of a hole: does the planned reamer whirl, how many lobes, and what would each gauge say."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.cutting.form_sim import ReamingCase, simulate_reaming
from holewright.cutting.form_steps import compiled
from holewright.cutting.outline_sizes import OutlineSizes, harmonics, outline_sizes
from holewright.cutting.tooth_readings import ToothReadings, separate_readings
from holewright.cutting.whirl import Whirl, even_whirl, uneven_whirl
from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import study_job
from holewright.planning.point import Point
from holewright.planning.ream_numbers import cutting_coefficient, depth_of_cut
from holewright.shop.holder import HolderKind
from holewright.sizing.lobing import QUIET, UNPREDICTABLE

DRILLED_LOBES = 3
"""Lobes of a hole from a two-edged drill, as they are usually seen. [-]"""

LEVELS = 5
_FINE, _COARSE = 720, 240
"""Points a revolution, compiled and plain. [-]"""

_MOST_LOBES = 20
_LEAST_TEETH = 3


@dataclass(frozen=True)
class Level:
    """Sizes at one depth.

    Parameters
    ----------
    depth : float
        Depth below the start. [mm]
    sizes : OutlineSizes
        What gauges would say there, over the reamer. [mm]
    """

    depth: float
    sizes: OutlineSizes


@dataclass(frozen=True)
class FormStudy:
    """What theory and simulation say of the form.

    Parameters
    ----------
    point : Point
        The candidate of the plan.
    case : ReamingCase
        What was simulated.
    even : bool
        Whether teeth were taken as evenly spaced.
    whirl : Whirl
        Leading root by linear theory.
    levels : tuple of Level
        Sizes down the hole, over the reamer.
    pin : float
        What a straight pin through all levels would feel, over the reamer. [mm]
    outline : ndarray
        Wall at the last level, over the radius of the reamer. [mm]
    lobes : tuple of float
        Amplitude of 0, 1, 2 … lobes there. [mm]
    readings : ToothReadings, optional
        Indicator readings taken apart, where some were given.
    """

    point: Point
    case: ReamingCase
    even: bool
    whirl: Whirl
    levels: tuple[Level, ...]
    pin: float
    outline: NDArray[np.float64]
    lobes: tuple[float, ...]
    readings: ToothReadings | None = None

    @property
    def growth(self) -> float:
        """Growth of whirl in a turn; 0 where no root was found. [-]"""
        return float(np.nan_to_num(self.whirl.growth_per_revolution, nan=0.0))

    @property
    def quiet(self) -> bool:
        """Whether whirl dies out well before it could leave lobes."""
        return self.growth < QUIET

    @property
    def unpredictable(self) -> bool:
        """Whether lobes of a height that nobody can forecast must be expected."""
        return self.growth > UNPREDICTABLE


def study_form(
    job: Job,
    *,
    spacing: Sequence[float] | None = None,
    readings: Sequence[float] | None = None,
    revolutions: int | None = None,
) -> FormStudy:
    """Return what the planned reamer would leave.

    Parameters
    ----------
    job : Job
        The job; the first choice of its plan is looked at.
    spacing : sequence of float, optional
        Angles of the reamer's teeth, rising from 0; evenly spaced if left out. [deg]
    readings : sequence of float, optional
        Indicator readings, one an edge; they stand in for the runout of holder and spindle.
        [mm]
    revolutions : int, optional
        Turns to follow; by default the whole depth. [-]

    Raises
    ------
    NoAnswerError
        If the plan reams nothing, the holder floats, or the reamer has fewer than 3 teeth.
    OutOfRangeError
        If angles or readings aren't one a tooth.

    Notes
    -----
    The drilled hole lies off by the middle of its usual axis error and has three lobes of half
    its usual roundness. Height of lobes is not a forecast.
    """
    point = _point(job)
    teeth = point.reamer.ZEFP
    angles = tuple(spacing) if spacing is not None else tuple(360 / teeth * np.arange(teeth))
    if len(angles) != teeth:
        raise OutOfRangeError("spacing", len(angles), f"{teeth} angles, one a tooth")
    parted = _parted(readings, teeth, angles)
    case = _case(point, angles, parted)
    turns = revolutions or max(3, math.ceil(point.at("tip_depth") / case.f))
    points = _FINE if compiled() is not None else _COARSE
    # A step a tooth needs room; 720 and 240 are multiples of 6 for every gauge.
    points = max(points, 6 * math.ceil(20 * teeth / 6))
    wall = simulate_reaming(case, turns, points=points, nudge=0.0).outlines
    at = np.unique(np.linspace(min(1, turns - 1), turns - 1, LEVELS).round().astype(int))
    return FormStudy(
        point=point,
        case=case,
        even=spacing is None,
        whirl=_whirl(case, even=spacing is None),
        levels=tuple(Level(float((i + 1) * case.f), outline_sizes(wall[i])) for i in at),
        pin=outline_sizes(wall[at[0] :].min(axis=0)).pin,
        outline=wall[-1],
        lobes=tuple(float(a) for a in harmonics(wall[-1], _MOST_LOBES)),
        readings=parted,
    )


def _point(job: Job) -> Point:
    study = study_job(job)
    if study.point is None:
        raise NoAnswerError(f"{job.name}: no reamed route to look at. {study.plan.sentence}")
    point = study.point
    if point.holder.kind is HolderKind.FLOATING:
        raise NoAnswerError(
            f"{job.name}: {point.holder.id} floats, and the hole leads the reamer; the model of "
            "whirl says nothing of that"
        )
    if point.reamer.ZEFP < _LEAST_TEETH:
        raise NoAnswerError(
            f"{job.name}: {point.reamer.id} has {point.reamer.ZEFP} teeth; the model of whirl "
            f"takes {_LEAST_TEETH} or more"
        )
    return point


def _parted(
    readings: Sequence[float] | None, teeth: int, angles: tuple[float, ...]
) -> ToothReadings | None:
    if readings is None:
        return None
    if len(readings) != teeth:
        raise OutOfRangeError("readings", len(readings), f"{teeth} readings, one a tooth")
    return separate_readings(readings, spacing=np.radians(angles))


def _case(point: Point, angles: tuple[float, ...], parted: ToothReadings | None) -> ReamingCase:
    hole = point.prepared.hole
    return ReamingCase(
        stiffness=point.at("stiffness"),
        K_t=cutting_coefficient(point),
        f=point.at("f"),
        a_p=depth_of_cut(point),
        KAPR=point.reamer.KAPR,
        spacing=angles,
        tooth_error=parted.tooth_error if parted else (),
        eccentricity=parted.eccentricity if parted else point.at("tir") / 2,
        offset=(hole.axis_lo + hole.axis_hi) / 2,
        drilled_lobes=((DRILLED_LOBES, hole.roundness / 2),),
    )


def _whirl(case: ReamingCase, *, even: bool) -> Whirl:
    if even:
        return even_whirl(
            case.stiffness,
            K_t=case.K_t,
            f=case.f,
            a_p=case.a_p,
            ZEFP=len(case.spacing),
            KAPR=case.KAPR,
            contact=case.contact,
        )
    return uneven_whirl(
        case.stiffness,
        spacing=case.spacing,
        K_t=case.K_t,
        f=case.f,
        a_p=case.a_p,
        KAPR=case.KAPR,
        contact=case.contact,
    )
