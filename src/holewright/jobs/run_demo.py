"""Run the demo: two invented jobs from callout to verdict, with the truth beside the answer."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import numpy as np
from scipy.special import ndtr

from holewright.callout.callout import Limits
from holewright.errors import InputError
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.jobs.make_sheets import make_sheet
from holewright.jobs.plan_hole import plan
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.jobs.text_files import read_text
from holewright.jobs.write_program import write_program
from holewright.planning.plan import Plan
from holewright.program.program import Program
from holewright.proof.verdict import Verdict
from holewright.sheets.header import PageKind

NAMES = ("a", "b")
"""Jobs of the demo that are run, by the letter in their file names."""

_TRUTH_LINE = re.compile(r"#\s*truth:\s*(\w+)\s*=\s*([-+.\deE]+)")


@dataclass(frozen=True)
class Truth:
    """What the simulation behind the readings knew and the gauges didn't.

    Parameters
    ----------
    mean : float
        Mean size of the holes of the lot. [mm]
    sd : float
        Their standard deviation, drift along the lot included. [mm]
    inside : float
        Share of them inside the limits. [-]
    lot : int
        Holes in the lot. [-]
    """

    mean: float
    sd: float
    inside: float
    lot: int


@dataclass(frozen=True)
class DemoJob:
    """One job of the demo with every document on its way.

    Parameters
    ----------
    name : str
        Its letter.
    job, plan, program, readings, estimate, verdict, setup, proof
        What each step handed on.
    truth : Truth
        What was true.
    """

    name: str
    job: Job
    plan: Plan
    program: Program
    readings: tuple[Reading, ...]
    estimate: Estimate
    verdict: Verdict
    setup: str
    proof: str
    truth: Truth


@contextmanager
def demo_files() -> Iterator[Path]:
    """Give the folder of the demo's files: in the package, or beside the sources.

    Raises
    ------
    InputError
        If they are in neither place.
    """
    packed = resources.files("holewright") / "examples" / "brakelund"
    beside = Path(__file__).parents[3] / "examples" / "brakelund"
    if packed.is_dir():
        with resources.as_file(packed) as folder:
            yield folder
    elif beside.is_dir():
        yield beside
    else:
        raise InputError("demo", beside, "must be there: holewright was installed without it")


def read_truth(path: Path, limits: Limits) -> Truth:
    """Return the truth that stands in the head of a file of simulated readings.

    Parameters
    ----------
    path : Path
        The file of readings.
    limits : Limits
        Limits of size. [mm]

    Returns
    -------
    Truth
        Reckoned from the mean of the first hole, the drift from hole to hole, the scatter
        about it and the number of holes that the file states.

    Raises
    ------
    InputError
        If the file doesn't state them.
    """
    stated = {name: float(value) for name, value in _TRUTH_LINE.findall(read_text(path, "demo"))}
    for name in ("first_mean_mm", "drift_mm_per_hole", "scatter_mm", "lot"):
        if name not in stated:
            raise InputError(f"truth: {name}", "missing", f"must stand in the head of {path}")
    lot, scatter = int(stated["lot"]), stated["scatter_mm"]
    means = stated["first_mean_mm"] + stated["drift_mm_per_hole"] * np.arange(lot)
    inside = ndtr((limits.upper - means) / scatter) - ndtr((limits.lower - means) / scatter)
    return Truth(
        mean=float(means.mean()),
        sd=float(np.hypot(scatter, means.std())),
        inside=float(inside.mean()),
        lot=lot,
    )


def run_demo(
    bench: Bench, *, report: Callable[[str], None] = lambda _: None
) -> tuple[DemoJob, ...]:
    """Return both jobs of the demo, run from their files to their verdicts.

    Parameters
    ----------
    bench : Bench
        Clock and versions for the sheets.
    report : callable
        Is told in words what is being done.

    Returns
    -------
    tuple of DemoJob
        In the order of their names.
    """
    with demo_files() as folder:
        return tuple(_run(folder, name, bench, report) for name in NAMES)


def _run(folder: Path, name: str, bench: Bench, report: Callable[[str], None]) -> DemoJob:
    readings_file = folder / f"readings_{name}.csv"
    report(f"job {name}: reading its files")
    job = read_job(folder / f"job_{name}.toml")
    readings = read_readings(readings_file, job.shop)
    truth = read_truth(readings_file, job.callout.limits)
    report(f"job {name}: planning {job.callout.text}")
    planned = plan(job)
    program = write_program(job, planned)
    report(f"job {name}: reckoning the size from {len(readings)} readings")
    estimate = estimate_size(job, readings)
    verdict = judge(job, estimate, lot=truth.lot)
    report(f"job {name}: drawing the sheets")
    setup, proof = (
        make_sheet(kind, job, bench, planned=planned, readings=readings, lot=truth.lot)
        for kind in (PageKind.SETUP, PageKind.PROOF)
    )
    return DemoJob(name, job, planned, program, readings, estimate, verdict, setup, proof, truth)
