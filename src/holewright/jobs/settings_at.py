"""What comes of another speed and feed: the numbers beside the window, and what forbids it."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

import numpy as np

from holewright.cutting.chip import chip_thickness_by_tooth
from holewright.errors import NoAnswerError
from holewright.jobs.kept_jobs import KeptJob
from holewright.planning.plan import Plan
from holewright.planning.point import Point
from holewright.planning.ream_numbers import surviving_eccentricity
from holewright.planning.rules import limits_of
from holewright.planning.settle import plan_at, point_of, settle
from holewright.planning.window import Window, nearest_border, window_of
from holewright.reasons import Reason

_REMEMBERED = 32


@dataclass(frozen=True)
class SettingAt:
    """What comes of a speed and a feed.

    Parameters
    ----------
    point : Point
        The candidate there.
    plan : Plan
        The plan with its route and forecast there.
    broken : tuple of Reason
        Limits that forbid it; empty where it is allowed.
    by_tooth : tuple of float
        Chip thickness of each tooth, with what is left of the runout. [mm]
    ra : float, optional
        Ra that this kind of reamer usually leaves; None where the drawing asks for none. [µm]
    nearest : tuple of (str, float), optional
        Code of the nearest limit, and by what factor of speed or feed it is off.
    """

    point: Point
    plan: Plan
    broken: tuple[Reason, ...]
    by_tooth: tuple[float, ...]
    ra: float | None
    nearest: tuple[str, float] | None


def taken_point(kept: KeptJob) -> Point | None:
    """Return the candidate behind the plan that counts; None where it isn't a reamed one.

    Parameters
    ----------
    kept : KeptJob
        The job.
    """
    point = kept.study.point
    if point is None or kept.plan.route is None:
        return None
    return point if kept.taken is None else point_of(point, kept.plan.route)


def base_point(kept: KeptJob) -> Point:
    """Return the candidate behind the plan that counts.

    Parameters
    ----------
    kept : KeptJob
        The job.

    Raises
    ------
    NoAnswerError
        If its route isn't one of reaming by machine: then there is no window.
    """
    point = taken_point(kept)
    if point is None:
        raise NoAnswerError(
            "There is no window of speed and feed: the plan has no route with a machine reamer."
        )
    return point


class _Windows:
    """Windows that were looked at last; one of a point never changes."""

    def __init__(self) -> None:
        self._known: OrderedDict[tuple[str, int], Window] = OrderedDict()
        self._lock = Lock()

    def of(self, kept: KeptJob, point: Point) -> Window:
        key = (kept.revision.entry.key, kept.taken.id if kept.taken else 0)
        with self._lock:
            if key in self._known:
                return self._known[key]
        found = window_of(point)
        with self._lock:
            self._known[key] = found
            while len(self._known) > _REMEMBERED:
                self._known.popitem(last=False)
        return found


_windows = _Windows()


def window_for(kept: KeptJob) -> Window:
    """Return the window of the plan that counts.

    Parameters
    ----------
    kept : KeptJob
        The job.

    Raises
    ------
    NoAnswerError
        If there is none.
    """
    return _windows.of(kept, base_point(kept))


def setting_at(kept: KeptJob, v_c: float | None = None, f: float | None = None) -> SettingAt:
    """Return what comes of a speed and a feed with the tools of the plan that counts.

    Parameters
    ----------
    kept : KeptJob
        The job.
    v_c : float, optional
        Cutting speed; None: that of the plan. [m/min]
    f : float, optional
        Feed; None: that of the plan. [mm/rev]

    Raises
    ------
    NoAnswerError
        If the plan has no window.
    OutOfRangeError
        If no machine could know such a speed or feed.
    """
    base = base_point(kept)
    v_c = base.at("v_c") if v_c is None else v_c
    f = base.at("f") if f is None else f
    settled = settle(base, v_c, f)
    point = settled.point
    h = chip_thickness_by_tooth(
        f,
        point.reamer.KAPR,
        tooth_error=np.zeros(point.reamer.ZEFP),
        eccentricity=surviving_eccentricity(point),
    )
    finish = [limit for limit in limits_of(point.candidates) if limit.code == "finish"]
    asked = point.candidates.task.callout.ra is not None
    return SettingAt(
        point=point,
        plan=plan_at(kept.study.plan, point),
        broken=settled.broken,
        by_tooth=tuple(float(one) for one in np.ravel(h)),
        ra=float(np.ravel(finish[0].value)[0]) if finish and asked else None,
        nearest=nearest_border(window_for(kept), v_c, f),
    )
