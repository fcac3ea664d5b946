"""Readings for fault finding: where, in which direction, by whom and how long after the cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from holewright.diagnosis.facts import Fact, JobFacts
from holewright.diagnosis.measured import expansion_fact, warmth_answer
from holewright.diagnosis.pattern import Felt, Spot
from holewright.gauging.pin_size import TrueSize, as_hole_at_20
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.jobs.fields import Fields, number, optional, text
from holewright.jobs.job import Job
from holewright.jobs.readingsfile import collect_readings, first_of
from holewright.planning.prepare import hole_depth
from holewright.shop.pin import InstrumentKind

COLUMNS = ("direction", "by", "minutes")
"""What a file of readings may have beside the columns of a reading."""

_WIDEST = 2.0
"""Widest gap between two pins that still says where the hole lies, in tolerances. [-]"""


@dataclass(frozen=True)
class Check:
    """A reading, with what fault finding wants to know of it.

    Parameters
    ----------
    reading : Reading
        The reading.
    direction : float, optional
        Direction of a two-point gauge. [deg]
    by : str
        Who gauged.
    minutes : float, optional
        Time after the cut. [min]
    """

    reading: Reading
    direction: float | None = None
    by: str = ""
    minutes: float | None = None


def read_checks(path: str | Path, job: Job) -> tuple[Check, ...]:
    """Return the readings of a CSV file, for fault finding.

    Columns are those of :func:`holewright.jobs.readingsfile.read_readings`, and if wanted
    ``direction`` [deg], ``by`` (who gauged) and ``minutes`` (time after the cut). Holes stand
    in the order in which they were cut.

    Parameters
    ----------
    path : str or Path
        The file.
    job : Job
        The job, for its tool room.

    Raises
    ------
    InputError
        For the first row that can't be used, with its line and column.
    """
    found, wrong = collect_readings(path, job.shop, part_c=job.part_c, more=COLUMNS)
    checks = []
    for fields, reading in found:
        checks.append(
            Check(
                reading,
                direction=optional(fields, "direction", _degrees, None),
                by=optional(fields, "by", text, ""),
                minutes=optional(fields, "minutes", number, None),
            )
        )
    if wrong:
        raise first_of(wrong)
    return tuple(checks)


def _degrees(fields: Fields, key: str) -> float:
    """Return a direction, with or without a sign for degrees behind it."""
    written = text(fields, key).strip().removesuffix("°").removesuffix("deg").strip()
    return number(replace(fields, values={**fields.values, key: written}), key)


def spots_of(job: Job, checks: Sequence[Check]) -> tuple[Spot, ...]:
    """Return sizes with their places, as read: not corrected for temperature.

    Parameters
    ----------
    job : Job
        The job, for gauges, depth and tolerance.
    checks : sequence of Check
        Readings, holes in the order of cutting.

    Raises
    ------
    InputError
        If a gauge isn't in the tool room.
    """
    order = {hole: i for i, hole in enumerate(dict.fromkeys(c.reading.hole for c in checks))}
    gauges = {gauge.id: gauge for gauge in job.shop.bore_gauges}
    depth = hole_depth(job.callout)
    found = []
    for check in checks:
        reading = check.reading
        gauge = gauges.get(reading.gauge)
        if reading.size is None or gauge is None:
            continue
        three = gauge.kind is InstrumentKind.THREE_POINT
        found.append(
            Spot(
                hole=order[reading.hole],
                size=reading.size,
                u=math.hypot(gauge.u.value, gauge.resolution / math.sqrt(12)),
                felt=Felt.THREE_POINT if three else Felt.TWO_POINT,
                depth=None if reading.depth is None else reading.depth / depth,
                direction=None if check.direction is None else check.direction % 180,
                by=check.by,
                after=check.minutes,
            )
        )
    return (*found, *_by_pins(job, checks, order))


def _by_pins(job: Job, checks: Sequence[Check], order: dict[str, int]) -> tuple[Spot, ...]:
    """Return the middle of what the pins leave open, for holes that lie between two pins."""
    pins = [
        replace(c.reading, part_c=20.0, gauge_c=20.0) for c in checks if c.reading.goes is not None
    ]
    sizes, _ = hole_sizes(pins, job.shop, material_alpha=job.material.alpha)
    return tuple(
        Spot(
            hole=order[hole.hole],
            size=(hole.lower + hole.upper) / 2,
            u=(hole.upper - hole.lower) / math.sqrt(12),
            felt=Felt.PINS,
        )
        for hole in sizes
        if 0 < hole.upper - hole.lower <= _WIDEST * job.callout.limits.width
    )


def warmth_of(job: Job, checks: Sequence[Check], facts: JobFacts) -> tuple[Fact, ...]:
    """Return what the temperatures in the readings say; nothing where none were taken.

    Parameters
    ----------
    job : Job
        The job, for the expansion of part and gauges.
    checks : sequence of Check
        Readings. A part and a gauge both at 20 °C are taken as not measured.
    facts : JobFacts
        The job as fault finding sees it.
    """
    taken = [c.reading for c in checks if (c.reading.part_c, c.reading.gauge_c) != (20.0, 20.0)]
    if not taken:
        return ()
    part = math.fsum(r.part_c for r in taken) / len(taken)
    gauge = math.fsum(r.gauge_c for r in taken) / len(taken)
    size = job.callout.nominal
    at_20 = as_hole_at_20(
        TrueSize(size, 0.0),
        part_c=part,
        gauge_c=gauge,
        part_alpha=job.material.alpha,
        gauge_alpha=job.shop.gauge_alpha,
    )
    return warmth_answer(part, gauge), expansion_fact(facts, size - at_20.best)
