"""Make the printable test list of fault finding."""

from __future__ import annotations

from dataclasses import replace

from holewright.diagnosis.finding import Finding
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.make_sheets import sheet_header
from holewright.sheets.fault_sheet import fault_sheet
from holewright.sheets.header import PageKind


def make_fault_sheet(job: Job, finding: Finding, bench: Bench) -> str:
    """Return the test list of a finding as HTML that loads nothing and prints on one page.

    Parameters
    ----------
    job : Job
        The job.
    finding : Finding
        What is known so far.
    bench : Bench
        Clock and versions.
    """
    header = replace(sheet_header(job, bench), kind=PageKind.FAULT)
    return fault_sheet(header, callout=job.callout, finding=finding)
