"""Make the sheets: the setup sheet, and with readings the proof report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from holewright.callout.callout import Limits
from holewright.gauging.limit_pins import choose_pins
from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import plan
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.jobs.write_program import write_program
from holewright.planning.plan import Plan
from holewright.sheets.header import PageKind, SheetHeader
from holewright.sheets.proof_report import proof_report
from holewright.sheets.setup_sheet import setup_sheet
from holewright.sheets.zone_strip import PinMark, pin_mark
from holewright.sizing.make_limits import reamer_make_limits
from holewright.sizing.treatment import in_process


@dataclass(frozen=True)
class Sheets:
    """The sheets of a job, each one HTML file.

    Parameters
    ----------
    setup : str
        The setup sheet.
    proof : str, optional
        The proof report; None where there are no readings.
    """

    setup: str
    proof: str | None = None


def make_sheets(
    job: Job,
    bench: Bench,
    *,
    planned: Plan | None = None,
    readings: Sequence[Reading] | None = None,
    lot: int | None = None,
) -> Sheets:
    """Return the sheets of a job.

    Parameters
    ----------
    job : Job
        The job.
    bench : Bench
        Clock and versions.
    planned : Plan, optional
        Its plan, where it is at hand already.
    readings : sequence of Reading, optional
        Readings for the proof report.
    lot : int, optional
        Holes in the lot that it judges. [-]

    Returns
    -------
    Sheets
        Setup sheet, and proof report where there are readings.
    """
    planned = planned or plan(job)
    program = write_program(job, planned) if planned.route is not None else None
    limits = in_process(job.callout).limits
    header = _header(job, bench)
    setup = setup_sheet(
        header,
        callout=job.callout,
        material=job.material,
        machine=job.machine,
        coolant=job.coolant,
        plan=planned,
        program=program,
        shop=job.shop,
        reamer_limits=reamer_make_limits(limits, job.unit),
        pins=_limit_pins(job, limits),
    )
    if readings is None:
        return Sheets(setup)
    estimate = estimate_size(job, readings)
    proof = proof_report(
        replace(header, kind=PageKind.PROOF),
        callout=job.callout,
        plan=planned,
        estimate=estimate,
        verdict=judge(job, estimate, lot=lot),
        readings=tuple(readings),
        shop=job.shop,
        material=job.material,
        coolant=job.coolant,
    )
    return Sheets(setup, proof)


def _limit_pins(job: Job, limits: Limits) -> tuple[PinMark, ...]:
    choice = choose_pins(limits, job.shop.pins, unit=job.unit)
    chosen = ((choice.go, "GO"), (choice.no_go, "NO-GO"))
    return tuple(pin_mark(pin, use) for pin, use in chosen if pin is not None)


def _header(job: Job, bench: Bench) -> SheetHeader:
    yearly = " a year" if job.yearly else ""
    return SheetHeader(
        job=job.name,
        part=job.part,
        revision=job.revision,
        drawing=job.drawing,
        unit=job.unit,
        machine=job.machine.id,
        date=bench.now(),
        version=bench.version,
        data_version=bench.data_version,
        invented=job.invented,
        quantity=f"{job.parts:,} parts{yearly}, {len(job.holes)} holes each",
    )
