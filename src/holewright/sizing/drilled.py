"""The drilled hole: its size, its spread, its wall and where its axis lies."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from holewright.callout.callout import Entry
from holewright.callout.limits import it_width
from holewright.cutting.roughness import Process, process_quality
from holewright.reference.tables import cite, table
from holewright.shop.drill import HSS_DRILLS, Drill, DrillKind
from holewright.uncertainty import Tag

_PROCESS = {
    DrillKind.JOBBER_HSS: Process.JOBBER,
    DrillKind.STUB_HSS: Process.JOBBER_SPOTTED,
    DrillKind.CARBIDE: Process.CARBIDE_DRILL,
    DrillKind.CARBIDE_FOUR_MARGIN: Process.FOUR_MARGIN,
    DrillKind.CORE: Process.CORE_DRILL,
}

# Of the axis error on a flat face, how much a worse face makes of it: own judgement.
_ENTRY_FACTOR = {Entry.FLAT: 1.0, Entry.SLOPED: 2.0, Entry.ROUGH: 2.0, Entry.CORED: 2.5}


_RZ_OVER_RA = 5.0
"""Rz over Ra of a drilled wall. [-] Common practice, no source."""


@dataclass(frozen=True)
class DrilledHole:
    """What a drill leaves.

    Parameters
    ----------
    mean, sd : float
        Diameter of the drilled hole and its spread from hole to hole. [mm]
    rz : float
        Roughness Rz of its wall. [mm]
    roundness : float
        Its roundness error. [mm]
    axis_lo, axis_hi : float
        Usual distance of its axis from the true place, from a good start to a poor one. [mm]
    tag : Tag
        How well this is known.
    source : str
        Where it comes from.
    """

    mean: float
    sd: float
    rz: float
    roundness: float
    axis_lo: float
    axis_hi: float
    tag: Tag
    source: str

    @property
    def least(self) -> float:
        """Size that 97.5 % of the holes are above. [mm]"""
        return self.mean - 1.96 * self.sd

    @property
    def most(self) -> float:
        """Size that 97.5 % of the holes are below. [mm]"""
        return self.mean + 1.96 * self.sd


@cache
def _oversize_table() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    rows = [
        row
        for row in table("drill_oversize", ("drill_in", "avg_max_in", "mean_in", "avg_min_in"))
        if row["mean_in"]
    ]
    read = np.array(
        [
            [_inches(row[c]) for c in ("drill_in", "avg_max_in", "mean_in", "avg_min_in")]
            for row in rows
        ]
    )
    return tuple(read.T * 25.4)


def _width(grade: int, size: float) -> float:
    return float(it_width(grade, size)) / 1000


def _inches(text: str) -> float:
    whole, _, part = text.partition("/")
    return float(whole) / float(part) if part else float(whole)


def drilled_hole(drill: Drill, *, spotted: bool, entry: Entry = Entry.FLAT) -> DrilledHole:
    """Return what a drill leaves behind, before any other tool.

    Parameters
    ----------
    drill : Drill
        The drill.
    spotted : bool
        Whether a spot or a bush leads it. Carbide drills centre themselves.
    entry : Entry
        The face into which it starts.

    Returns
    -------
    DrilledHole
        Size, spread, wall and axis. [mm]

    Notes
    -----
    High-speed-steel drills: published oversize statistics of over 2800 holes, interpolated by
    diameter; a spotted or stub drill lies halfway between the mean and the average minimum.
    The distance of the average maximum from the average minimum is taken as four standard
    deviations. Other drills: the drilled hole is taken to lie, with 95 % of the holes, from
    the drill's own size to that plus the tolerance of the middle grade of the process. Rz is
    taken as five times the middle Ra of the process, and roundness as a quarter of its finest
    grade: own judgement.
    """
    led = drill.kind in HSS_DRILLS and (spotted or drill.kind is DrillKind.STUB_HSS)
    quality = process_quality(Process.JOBBER_SPOTTED if led else _PROCESS[drill.kind])
    size = drill.DC.value
    if drill.kind in HSS_DRILLS:
        diameters, most, mean, least = _oversize_table()
        at = [float(np.interp(size, diameters, column)) for column in (most, mean, least)]
        oversize = (at[1] + at[2]) / 2 if led else at[1]
        spread = (at[0] - at[2]) / 4
        source = cite("drill-oversize-handbook")
    else:
        width = _width((quality.it_lo + quality.it_hi) // 2, size)
        oversize, spread = width / 2, width / 4
        source = quality.source
    factor = _ENTRY_FACTOR[entry]
    return DrilledHole(
        mean=size + oversize,
        sd=float(np.hypot(spread, drill.DC.u)),
        rz=_RZ_OVER_RA * float(np.sqrt(quality.ra_lo * quality.ra_hi)) / 1000,
        roundness=_width(quality.it_lo, size) / 4,
        axis_lo=(quality.axis_lo or 0.0) * factor,
        axis_hi=(quality.axis_hi or 0.0) * factor,
        tag=Tag.DEFAULT,
        source=source,
    )
