"""Make the sheets of a job, as HTML or as PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.limit_pins import choose_pins
from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import plan
from holewright.jobs.release import judge
from holewright.jobs.take_readings import estimate_size
from holewright.jobs.write_program import write_program
from holewright.planning.plan import Plan
from holewright.sheets.forms import FormJob, cut_record, gauging_sheet, hole_traveller
from holewright.sheets.header import PageKind, SheetHeader, foot
from holewright.sheets.pdf import Paper, sheet_pdf
from holewright.sheets.proof_report import proof_report
from holewright.sheets.setup_sheet import setup_sheet
from holewright.sheets.zone_strip import PinMark, pin_mark
from holewright.sizing.make_limits import reamer_make_limits
from holewright.sizing.treatment import in_process


def make_sheet(
    kind: PageKind,
    job: Job,
    bench: Bench,
    *,
    planned: Plan | None = None,
    readings: Sequence[Reading] = (),
    lot: int | None = None,
) -> str:
    """Return one sheet of a job as HTML that loads nothing.

    Parameters
    ----------
    kind : PageKind
        Which sheet.
    job : Job
        The job.
    bench : Bench
        Clock and versions.
    planned : Plan, optional
        Its plan, where it is at hand already.
    readings : sequence of Reading
        Readings, for the proof report.
    lot : int, optional
        Holes in the lot that the proof report judges. [-]

    Returns
    -------
    str
        The sheet.

    Raises
    ------
    NoAnswerError
        If a proof report is asked for without readings.
    """
    planned = planned or plan(job)
    header = replace(sheet_header(job, bench), kind=kind)
    if kind is PageKind.SETUP:
        return _setup(job, header, planned)
    if kind is PageKind.PROOF:
        return _proof(job, header, planned, tuple(readings), lot)
    limits = in_process(job.callout).limits
    form = FormJob(
        header=header,
        callout=in_process(job.callout),
        material=job.material,
        coolant=job.coolant,
        plan=planned,
        shop=job.shop,
        holes=job.parts * len(job.holes),
        reamer_limits=reamer_make_limits(limits, job.unit),
        pins=_limit_pins(job, limits),
    )
    return _FORMS[kind](form)


_FORMS: dict[PageKind, Callable[[FormJob], str]] = {
    PageKind.TEST_CUT: cut_record,
    PageKind.GAUGING: gauging_sheet,
    PageKind.TRAVELLER: hole_traveller,
}

OF_A_JOB = (PageKind.SETUP, PageKind.PROOF, *_FORMS)
"""Sheets that a job alone makes; a test plate and a fault have their own."""


def sheet_as_pdf(html: str, job: Job, bench: Bench, paper: Paper = Paper.A4) -> bytes:
    """Return a sheet of a job as PDF.

    Parameters
    ----------
    html : str
        The sheet from :func:`make_sheet`.
    job : Job
        The job, for the foot of each page.
    bench : Bench
        Clock and versions.
    paper : Paper
        A4 or Letter.
    """
    return sheet_pdf(html, foot=foot(sheet_header(job, bench)), date=bench.now(), paper=paper)


def _setup(job: Job, header: SheetHeader, planned: Plan) -> str:
    limits = in_process(job.callout).limits
    return setup_sheet(
        header,
        callout=job.callout,
        material=job.material,
        machine=job.machine,
        coolant=job.coolant,
        plan=planned,
        program=(
            write_program(job, planned, despite_hold=True) if planned.route is not None else None
        ),
        shop=job.shop,
        reamer_limits=reamer_make_limits(limits, job.unit),
        pins=_limit_pins(job, limits),
    )


def _proof(
    job: Job, header: SheetHeader, planned: Plan, readings: tuple[Reading, ...], lot: int | None
) -> str:
    if not readings:
        raise NoAnswerError("a proof report needs readings: name their file with --readings")
    estimate = estimate_size(job, readings, today=header.date.date())
    return proof_report(
        header,
        callout=replace(job.callout, limits=job.gauged_limits),
        plan=planned,
        estimate=estimate,
        verdict=judge(job, estimate, lot=lot),
        readings=readings,
        shop=job.shop,
        material=job.material,
        coolant=job.coolant,
    )


def _limit_pins(job: Job, limits: Limits) -> tuple[PinMark, ...]:
    choice = choose_pins(limits, job.shop.pins, unit=job.unit)
    chosen = ((choice.go, "GO"), (choice.no_go, "NO-GO"))
    return tuple(pin_mark(pin, use) for pin, use in chosen if pin is not None)


def sheet_header(job: Job, bench: Bench) -> SheetHeader:
    """Return the head of the sheets of a job.

    Parameters
    ----------
    job : Job
        The job.
    bench : Bench
        Clock and versions.
    """
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
        quantity=f"{_counted(job.parts, 'part')}{yearly}, {_counted(len(job.holes), 'hole')} each",
    )


def _counted(n: int, what: str) -> str:
    return f"{n:,} {what}{'' if n == 1 else 's'}"
