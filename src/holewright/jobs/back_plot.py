"""Read a program back: what each tool does, how long it takes, whether it hits anything."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from holewright.jobs.job import Job
from holewright.jobs.text_files import read_text
from holewright.jobs.write_program import write_part
from holewright.planning.plan import Plan
from holewright.program.read_program import ReadProgram, read_program
from holewright.shop.generic import generic_shop


def read_back_job(planned: Sequence[tuple[Job, Plan]]) -> ReadProgram:
    """Return the program of a part, read back from its text.

    It is made to be looked at, so that of a job on hold is read back as well.

    Parameters
    ----------
    planned : sequence of (Job, Plan)
        Each hole feature of the part with its plan.

    Raises
    ------
    HolewrightError
        As :func:`holewright.jobs.write_program.write_part` does.
    """
    program = write_part(planned, despite_hold=True)
    job = planned[0][0]
    return read_program(
        program.text,
        job.part or job.name,
        job.machine,
        dwell_unit=job.program.dwell_unit,
        fixture=job.fixture,
        shapes=dict(program.shapes),
        invented=job.invented,
    )


def read_back_file(path: str | Path, job: Job | None = None) -> ReadProgram:
    """Return a program that stands in a file, read back from its text.

    Parameters
    ----------
    path : str or Path
        A program in the words that holewright writes.
    job : Job, optional
        Its job, for machine, fixture and the unit of dwells. Without it times are those of a
        usual machine, and nothing is known of clamps.

    Raises
    ------
    InputError
        If it can't be read; the line is named.
    """
    path = Path(path)
    text = read_text(path, "program", fallback="cp1252")
    if job is None:
        return read_program(text, path.name, generic_shop().machines[0], own_machine=False)
    return read_program(
        text,
        path.name,
        job.machine,
        dwell_unit=job.program.dwell_unit,
        fixture=job.fixture,
        invented=job.invented,
    )
