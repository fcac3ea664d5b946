"""What makes readings no evidence as they are: too wide a gap of temperature, an expired gauge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from holewright.gauging.reading import Reading
from holewright.jobs.job import Job
from holewright.proof.verdict import CALIBRATION_OVERDUE, TEMPERATURE_GAP
from holewright.reasons import Reason
from holewright.shop.pin import BoreGauge, Pin
from holewright.units import format_small

MOST_CORRECTION = 0.10
"""Share of the tolerance up to which a reading may be corrected for temperature. Own judgement,
after the 10 % rule for gauges. [-]"""
_REFERENCE_C = 20.0


def doubts(job: Job, readings: Sequence[Reading], today: date | None = None) -> tuple[Reason, ...]:
    """Return what makes readings no evidence as they are.

    Parameters
    ----------
    job : Job
        The job: its tool room says until when gauges hold, its material how it expands.
    readings : sequence of Reading
        What was gauged.
    today : date, optional
        Day of the judgement; without it no gauge is overdue.

    Returns
    -------
    tuple of Reason
        Those with which a verdict holds; empty where all is well.
    """
    gap = _gap(job, readings)
    overdue = _overdue(job, readings, today) if today is not None else ()
    return (*((gap,) if gap is not None else ()), *overdue)


def too_far_apart(job: Job, part_c: float, gauge_c: float) -> str:
    """Return why nothing should be gauged at these temperatures; empty where it may be.

    Parameters
    ----------
    job : Job
        The job.
    part_c, gauge_c : float
        Temperatures of part and gauges. [°C]
    """
    amount = _correction(job, part_c, gauge_c)
    if amount <= MOST_CORRECTION * job.gauged_limits.width:
        return ""
    return (
        f"With the part at {part_c:g} °C and gauges at {gauge_c:g} °C, "
        f"{format_small(amount, job.unit)} of a tolerance of "
        f"{format_small(job.gauged_limits.width, job.unit)} would be correction: let both soak to "
        f"one temperature first. A verdict holds on readings taken so."
    )


def _correction(job: Job, part_c: float, gauge_c: float) -> float:
    """Return by how much a reading is corrected for these temperatures. [mm]"""
    part, gauge = job.material.alpha.value, job.shop.gauge_alpha
    expands = part * (part_c - _REFERENCE_C) - gauge * (gauge_c - _REFERENCE_C)
    return abs(job.gauged_limits.middle * expands)


def _gap(job: Job, readings: Sequence[Reading]) -> Reason | None:
    """Return the widest correction for temperature, where it is too wide."""
    limits = job.gauged_limits

    def correction(r: Reading) -> float:
        return _correction(job, r.part_c, r.gauge_c)

    wide = [r for r in readings if correction(r) > MOST_CORRECTION * limits.width]
    if not wide:
        return None
    worst = max(wide, key=correction)
    amount = format_small(correction(worst), job.unit)
    holes = dict.fromkeys(r.hole for r in wide)
    others = f" (and {len(holes) - 1} more)" if len(holes) > 1 else ""
    return Reason(
        TEMPERATURE_GAP,
        f"Hole {worst.hole}{others}: the part was at {worst.part_c:g} °C and the gauge at "
        f"{worst.gauge_c:g} °C, so {amount} of a tolerance of "
        f"{format_small(limits.width, job.unit)} is correction. Let both soak to one temperature "
        f"and measure again; no hole is passed on such a reading.",
        correction(worst),
        MOST_CORRECTION * limits.width,
    )


def _overdue(job: Job, readings: Sequence[Reading], today: date) -> Iterator[Reason]:
    """Yield the gauges that were used and whose calibration is overdue."""
    gauges: tuple[Pin | BoreGauge, ...] = (*job.shop.pins, *job.shop.bore_gauges)
    used = dict.fromkeys(reading.gauge for reading in readings)
    for gauge in gauges:
        if gauge.id in used and gauge.due is not None and gauge.due < today:
            kind = "pin" if isinstance(gauge, Pin) else "bore gauge"
            yield Reason(
                CALIBRATION_OVERDUE,
                f"{kind} {gauge.id}: its calibration was due on {gauge.due}, and today is {today}. "
                f"What it has worn or been dropped since, nobody knows.",
                float((today - gauge.due).days),
                0.0,
                unit="days",
            )
