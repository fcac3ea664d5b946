"""``holewright ask``: a plan asked backwards."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.answer import give
from holewright.cli.door import GOOD, NO, answers
from holewright.cli.options import Columns, JobFile, Json, Plain

if TYPE_CHECKING:
    from holewright.jobs.answer import Answer
    from holewright.jobs.job import Job

_QUESTIONS = "--tir, --tolerance, --reamer, --worn, --quantity or --teeth"


@answers
def ask(
    job_file: JobFile,
    tir: Annotated[bool, typer.Option("--tir", help="What runout must I reach?")] = False,
    tolerance: Annotated[
        bool, typer.Option("--tolerance", help="How much tolerance would make it easy?")
    ] = False,
    reamer: Annotated[
        bool, typer.Option("--reamer", help="Which reamer should be ordered?")
    ] = False,
    worn: Annotated[bool, typer.Option("--worn", help="What if the reamer is worn?")] = False,
    quantity: Annotated[
        bool, typer.Option("--quantity", help="From how many holes does a dearer reamer pay?")
    ] = False,
    teeth: Annotated[
        str | None,
        typer.Option(
            "--teeth",
            metavar="READINGS",
            help='What do these indicator readings mean, one an edge: "0 3 6 4 1 -2 µm"?',
            show_default=False,
        ),
    ] = None,
    inside: Annotated[
        str | None,
        typer.Option(
            "--inside",
            metavar="SHARE",
            help="With --tir or --tolerance: share of holes that must be inside; by default "
            "what the job demands.",
            show_default=False,
        ),
    ] = None,
    offset: Annotated[
        str | None,
        typer.Option(
            "--offset",
            metavar="LENGTH",
            help='With --reamer: hole less reamer, as a test cut showed it, e.g. "-2 µm".',
            show_default=False,
        ),
    ] = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Ask the plan backwards, one question at a time.

    What isn't reached (less runout, more tolerance) ends with exit code 1.
    """
    from holewright.errors import InputError
    from holewright.jobs.jobfile import read_job

    asked = [
        name
        for name, wanted in (
            ("tir", tir),
            ("tolerance", tolerance),
            ("reamer", reamer),
            ("worn", worn),
            ("quantity", quantity),
            ("teeth", teeth is not None),
        )
        if wanted
    ]
    if len(asked) != 1:
        raise InputError("question", " ".join(asked) or "none", f"must be one of {_QUESTIONS}")
    answer = _answer(asked[0], read_job(job_file), inside, offset, teeth)
    give(answer, as_json=as_json, columns=columns, plain=plain)
    return NO if answer.refused else GOOD


def _answer(
    question: str, job: Job, inside: str | None, offset: str | None, teeth: str | None
) -> Answer:
    from holewright.jobs import ask_process
    from holewright.jobs.fields import option, share
    from holewright.jobs.tooth_words import read_offset, read_tooth_readings

    wanted = None if inside is None else share(option("inside", inside), "inside")
    if question == "tir":
        return ask_process.ask_tir(job, wanted)
    if question == "tolerance":
        return ask_process.ask_tolerance(job, wanted)
    if question == "reamer":
        shown = None if offset is None else read_offset(offset, job.unit)
        return ask_process.ask_reamer(job, shown)
    if question == "worn":
        return ask_process.ask_worn(job)
    if question == "quantity":
        return ask_process.ask_quantity(job)
    return ask_process.ask_teeth(job, read_tooth_readings(teeth or "", job.unit))
