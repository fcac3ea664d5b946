"""Simulates the readings of jobs A and B of Brakelund Works from a stated truth.

    python examples/brakelund/make_readings.py

Everything here is invented: the shop, its parts and every reading. The truth and the seed are
kept in the head of each file, so that what the gauges allow to say can be held against it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import NormalDist

from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.shop.pin import Pin, Sense
from holewright.shop.pins import class_tolerance
from holewright.units import Unit

HERE = Path(__file__).parent
GAUGE_ALPHA = 11.5e-6
BIAS_SHARE = 0.8
"""Part of a bore gauge's uncertainty that is the same in all its readings."""


@dataclass(frozen=True)
class Truth:
    """What the simulation knows. Sizes are largest inscribed diameters at 20 °C, in mm."""

    first_mean_mm: float
    drift_mm_per_hole: float
    scatter_mm: float
    lot: int
    every: int
    """Every how many holes of the lot one is gauged."""
    pins: tuple[str, ...]
    """Pins that are tried, the smallest first, until one does not go."""
    bore_gauge_every: int
    """Every how many gauged holes one is also read with the bore gauge; 0 for none."""
    part_c: float
    gauge_c: float
    seed: int


TRUTHS = {
    "a": Truth(
        first_mean_mm=8.0079,
        drift_mm_per_hole=-0.8e-6,
        scatter_mm=0.0013,
        lot=1920,
        every=7,
        pins=("8.00", "8.004 X", "8.008 X", "8.01"),
        bore_gauge_every=12,
        part_c=21.0,
        gauge_c=20.5,
        seed=1040,
    ),
    "b": Truth(
        first_mean_mm=7.9432,
        drift_mm_per_hole=-1.0e-6,
        scatter_mm=0.0014,
        lot=600,
        every=12,
        pins=(".3125 X", ".3127 X", ".3130"),
        bore_gauge_every=0,
        part_c=22.0,
        gauge_c=21.0,
        seed=2210,
    ),
}


class Shelf:
    """The gauges as they truly are, which nobody in the shop knows."""

    def __init__(self, job: Job, truth: Truth, draw: random.Random) -> None:
        by_id = {pin.id: pin for pin in job.shop.pins}
        self.pins = {name: true_pin(by_id[name], draw) for name in truth.pins}
        gauge = job.shop.bore_gauges[0]
        self.bore_gauge = gauge.id
        self.step = gauge.resolution
        self.bias = normal(draw) * BIAS_SHARE * gauge.u.value
        self.repeat = (1 - BIAS_SHARE**2) ** 0.5 * gauge.u.value


def normal(draw: random.Random) -> float:
    """Return a standard normal number; unlike ``gauss`` it is the same on every Python."""
    return NormalDist().inv_cdf(draw.random() or 0.5)


def true_pin(pin: Pin, draw: random.Random) -> float:
    if pin.calibrated is not None:
        return pin.calibrated.value + pin.calibrated.u * normal(draw)
    tolerance = float(class_tolerance(pin.grade, pin.marked))
    share = draw.random()
    return pin.marked + (share if pin.sense is Sense.PLUS else -share) * tolerance


def rows(job: Job, truth: Truth, draw: random.Random, shelf: Shelf) -> Iterator[str]:
    """Yield the rows of the file: each pin that was tried, and each size that was read."""
    grown = 1 + job.material.alpha.value * (truth.part_c - 20)
    gauge_grown = 1 + GAUGE_ALPHA * (truth.gauge_c - 20)
    temperatures = f"{truth.part_c:g} C,{truth.gauge_c:g} C"
    holes = len(job.holes)
    gauged = 0
    for number in range(truth.lot):
        mean = truth.first_mean_mm + truth.drift_mm_per_hole * number
        size = mean + truth.scatter_mm * normal(draw)
        if number % truth.every:
            continue
        name = f"{number // holes + 1}-{number % holes + 1}"
        for pin, true in shelf.pins.items():
            goes = size * grown >= true * gauge_grown
            yield f"{name},{pin},{'goes' if goes else 'does not go'},,,{temperatures}"
            if not goes:
                break
        if truth.bore_gauge_every and gauged % truth.bore_gauge_every == 0:
            seen = size * grown / gauge_grown + shelf.bias + shelf.repeat * normal(draw)
            shown = round(seen / shelf.step) * shelf.step
            yield f"{name},{shelf.bore_gauge},,{shown:.3f},mm,{temperatures}"
        gauged += 1


def readings_text(name: str) -> str:
    """Return the file of readings of a job."""
    truth = TRUTHS[name]
    job = read_job(HERE / f"job_{name}.toml")
    draw = random.Random(truth.seed)
    shelf = Shelf(job, truth, draw)
    body = list(rows(job, truth, draw, shelf))
    inch = job.unit is Unit.INCH
    head = [
        f"# Readings of job {name.upper()} of Brakelund Works. Invented and simulated: there is",
        "# no such shop and no such part, and nobody gauged anything. Made by make_readings.py.",
        "# A hole is named plate-hole; holes were gauged in the order they were cut, evenly over",
        f"# the lot, one in {truth.every}. What was true, and nobody at the gauge could know:",
        f"# truth: first_mean_mm = {truth.first_mean_mm}",
        f"# truth: drift_mm_per_hole = {truth.drift_mm_per_hole}",
        f"# truth: scatter_mm = {truth.scatter_mm}",
        f"# truth: lot = {truth.lot}",
        f"# seed: {truth.seed}",
        "# true size of the pins in mm: "
        + "; ".join(f"{pin} is {size:.5f}" for pin, size in shelf.pins.items()),
    ]
    if inch:
        head.append(f"# (first mean in inches: {truth.first_mean_mm / 25.4:.5f})")
    if truth.bore_gauge_every:
        head.append(f"# the bore gauge reads {shelf.bias * 1000:+.2f} um off, and scatters")
    return "\n".join([*head, "hole,gauge,result,size,unit,part_temp,gauge_temp", *body]) + "\n"


def main() -> None:
    """Write both files."""
    for name in TRUTHS:
        path = HERE / f"readings_{name}.csv"
        path.write_text(readings_text(name), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
