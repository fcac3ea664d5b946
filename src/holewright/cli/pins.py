"""``holewright pins``: GO and NO-GO from the pins owned, and what each is wrong about."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, NO, answers
from holewright.cli.options import Columns, JobFile, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.jobs.choose_gauges import GaugeChoice, Pair
    from holewright.jobs.job import Job


@answers
def pins(
    job_file: JobFile,
    bad_costs: Annotated[
        float,
        typer.Option(
            "--bad-costs",
            min=0.001,
            metavar="N",
            help="What a bad hole passed costs, in good holes refused.",
        ),
    ] = 20.0,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Choose GO and NO-GO from the pins owned, and say how often they would be wrong.

    Where no pin owned proves a limit, it says which would, and ends with exit code 1.
    """
    from dataclasses import replace

    from holewright.cli.output import Page, print_json
    from holewright.jobs.choose_gauges import choose_gauges
    from holewright.jobs.jobfile import read_job
    from holewright.jobs.proof_documents import pins_document

    job = read_job(job_file)
    job = replace(job, unit=unit or job.unit)
    chosen = choose_gauges(job, bad_costs=bad_costs)
    if as_json:
        print_json(pins_document(job, chosen))
    else:
        show_pins(Page(columns, plain=plain), job, chosen)
    return GOOD if chosen.proving.go and chosen.proving.no_go else NO


def show_pins(page: Page, job: Job, chosen: GaugeChoice) -> None:
    """Print a choice of pins for people."""
    from holewright.sheets.proof_data import share_words
    from holewright.sheets.sizes import size_pair, small_pair

    page.verdict(_headline(chosen), job.callout.text)
    page.points(_sentences(job, chosen))
    page.heading("Risk of each kind, as shares of all holes made")
    page.table(
        ("", "GO", "NO-GO", "bad passed", "good refused"),
        [
            (name, *_names(pair), share_words(pair.passes_bad), share_words(pair.refuses_good))
            for name, pair in (
                ("prove the limits", chosen.proving),
                ("fewest wrong", chosen.least_wrong),
            )
        ],
    )
    if chosen.choice.reasons:
        page.heading("What to know about these pins")
        page.points(str(reason) for reason in chosen.choice.reasons)
    page.heading("How it was reckoned")
    page.say(
        f"Holes as the plan forecasts them: mean {size_pair(chosen.mean, job.unit)}, standard "
        f"uncertainty {small_pair(chosen.sd, job.unit)}, {share_words(chosen.outside)} outside. "
        f"The "
        f"pins' own errors are averaged over (JCGM 106, global risks); a bad hole passed counts as "
        f"{chosen.bad_costs:g} good ones refused. A hole is taken to let in any pin smaller than "
        f"itself."
    )


def _headline(chosen: GaugeChoice) -> str:
    go, no_go = _names(chosen.proving)
    if chosen.proving.go is None and chosen.proving.no_go is None:
        return "NO PIN OWNED PROVES THESE LIMITS"
    if chosen.proving.go is None:
        return f"NO GO OWNED, NO-GO {no_go}"
    if chosen.proving.no_go is None:
        return f"GO {go}, NO NO-GO OWNED"
    return f"GO {go}, NO-GO {no_go}"


def _names(pair: Pair) -> tuple[str, str]:
    return (pair.go.id if pair.go else "none", pair.no_go.id if pair.no_go else "none")


def _sentences(job: Job, chosen: GaugeChoice) -> Iterator[str]:
    from holewright.sheets.proof_data import share_words
    from holewright.units import format_both

    choice, proving = chosen.choice, chosen.proving
    if proving.go is not None and proving.no_go is not None:
        yield (
            f"These two prove both limits with their own errors at their worst. They refuse "
            f"{share_words(proving.refuses_good)} of the holes although they are good."
        )
    else:
        missing = [
            f"a plus pin marked {format_both(choice.ideal_go, job.unit)}"
            if proving.go is None
            else "",
            f"a minus pin marked {format_both(choice.ideal_no_go, job.unit)}"
            if proving.no_go is None
            else "",
        ]
        grade = f", class {choice.grade} or finer" if choice.grade else ""
        yield f"Get {' and '.join(m for m in missing if m)}{grade}; or have a pin calibrated there."
    if _names(chosen.least_wrong) != _names(proving):
        go, no_go = _names(chosen.least_wrong)
        yield (
            f"Fewest wrong decisions: GO {go}, NO-GO {no_go}. They pass "
            f"{share_words(chosen.least_wrong.passes_bad)} of the holes although they are bad: use "
            f"them to sort, not to release."
        )
