"""``holewright sampling``: what a sample means, how many to check, what a plan lets through."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, TypeAlias

import typer

from holewright.cli.answer import Plot, give
from holewright.cli.door import answers
from holewright.cli.options import Columns, Force, Json, Plain, UnitChoice

if TYPE_CHECKING:
    from holewright.units import Unit

app = typer.Typer(
    no_args_is_help=True,
    help="Say what a sample means, how many holes to check, and what a plan lets through.",
)

Inside: TypeAlias = Annotated[
    str, typer.Option("--inside", metavar="SHARE", help='Share to be shown, e.g. "99.5 %".')
]
Confidence: TypeAlias = Annotated[
    str, typer.Option("--confidence", metavar="SHARE", help="How sure the answer has to be.")
]
Lot: TypeAlias = Annotated[
    int | None,
    typer.Option(
        "--lot",
        min=1,
        metavar="N",
        help="Holes in the lot; without it a process is meant.",
        show_default=False,
    ),
]
Mean: TypeAlias = Annotated[
    str | None,
    typer.Option(
        "--mean", metavar="SIZE", help='Mean of the sizes, e.g. "8.0075 mm".', show_default=False
    ),
]
Sd: TypeAlias = Annotated[
    str | None,
    typer.Option(
        "--sd",
        metavar="LENGTH",
        help='Standard deviation of the sizes, e.g. "1.5 µm".',
        show_default=False,
    ),
]


def _share(written: str, name: str) -> float:
    from holewright.jobs.fields import option, share

    return share(option(name, written), name)


def _length(written: str | None, name: str, unit: Unit | None) -> float | None:
    from holewright.jobs.fields import length, option

    return None if written is None else length(option(name, written, unit), name)


@app.command()
@answers
def lot(
    size: Annotated[int, typer.Argument(metavar="LOT", min=1, help="Holes in the lot.")],
    checked: Annotated[int, typer.Argument(metavar="CHECKED", min=1, help="Holes checked.")],
    bad: Annotated[int, typer.Option("--bad", min=0, metavar="N", help="Holes found outside.")] = 0,
    each: Annotated[
        int,
        typer.Option(
            "--each",
            min=1,
            metavar="N",
            help="Holes of each part, where whole parts were checked: LOT and CHECKED are parts.",
        ),
    ] = 1,
    inside: Inside = "99 %",
    confidence: Confidence = "95 %",
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say what holes that were checked mean for the lot that they were drawn from."""
    from holewright.jobs.ask_sampling import ask_lot

    answer = ask_lot(
        size,
        checked,
        bad,
        inside=_share(inside, "inside"),
        confidence=_share(confidence, "confidence"),
        holes_a_part=each,
    )
    return give(answer, as_json=as_json, columns=columns, plain=plain)


@app.command()
@answers
def need(
    inside: Inside = "99 %",
    confidence: Confidence = "95 %",
    lot: Lot = None,
    bad: Annotated[
        int, typer.Option("--bad", min=0, metavar="N", help="Up to how many of them not good.")
    ] = 2,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say how many holes to check so that a share inside is shown."""
    from holewright.jobs.ask_sampling import ask_need

    answer = ask_need(
        _share(inside, "inside"), _share(confidence, "confidence"), lot=lot, most_bad=bad
    )
    return give(answer, as_json=as_json, columns=columns, plain=plain)


@app.command()
@answers
def plan(
    good: Annotated[
        str, typer.Option("--good", metavar="SHARE", help="Share outside that should pass.")
    ],
    poor: Annotated[
        str, typer.Option("--poor", metavar="SHARE", help="Share outside that should not pass.")
    ],
    alpha: Annotated[
        str, typer.Option("--alpha", metavar="SHARE", help="Most chance of refusing the good one.")
    ] = "5 %",
    beta: Annotated[
        str, typer.Option("--beta", metavar="SHARE", help="Most chance of passing the poor one.")
    ] = "10 %",
    plot: Plot = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Find the smallest plan, by counting and by measuring, that tells good from poor."""
    from holewright.jobs.ask_plans import ask_plan

    answer = ask_plan(
        _share(good, "good"), _share(alpha, "alpha"), _share(poor, "poor"), _share(beta, "beta")
    )
    return give(answer, as_json=as_json, columns=columns, plain=plain, plot=plot, force=force)


@app.command()
@answers
def curve(
    n: Annotated[int, typer.Argument(metavar="N", min=1, help="Holes to check.")],
    c: Annotated[int, typer.Argument(metavar="C", min=0, help="Accept with at most so many bad.")],
    lot: Lot = None,
    plot: Plot = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say what a plan lets through: its operating characteristic (OC) curve."""
    from holewright.jobs.ask_plans import ask_curve

    answer = ask_curve(n, c, lot=lot)
    return give(answer, as_json=as_json, columns=columns, plain=plain, plot=plot, force=force)


@app.command()
@answers
def standard(
    size: Annotated[int, typer.Argument(metavar="LOT", min=2, help="Holes in the lot.")],
    aql: Annotated[
        float, typer.Argument(metavar="AQL", help="Acceptance quality limit in per cent: 1.0.")
    ],
    level: Annotated[
        str, typer.Option("--level", metavar="I|II|III", help="General inspection level.")
    ] = "II",
    plot: Plot = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Look up code letter and plan of ISO 2859-1, and say what that plan lets through."""
    from holewright.jobs.ask_plans import ask_standard

    answer = ask_standard(size, aql, level)
    return give(answer, as_json=as_json, columns=columns, plain=plain, plot=plot, force=force)


@app.command()
@answers
def factors(
    n: Annotated[int, typer.Argument(metavar="N", min=2, help="Holes measured.")],
    share: Annotated[
        str, typer.Option("--share", metavar="SHARE", help="Share of all holes to be held.")
    ] = "95 %",
    confidence: Confidence = "95 %",
    mean: Mean = None,
    sd: Sd = None,
    unit: UnitChoice = None,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Give the factors of tolerance intervals (ISO 16269-6), and the interval of given sizes."""
    from holewright.jobs.ask_measured import ask_factors
    from holewright.units import Unit

    answer = ask_factors(
        n,
        _share(share, "share"),
        _share(confidence, "confidence"),
        mean=_length(mean, "mean", unit),
        sd=_length(sd, "sd", unit),
        unit=unit or Unit.MM,
    )
    return give(answer, as_json=as_json, columns=columns, plain=plain)


@app.command()
@answers
def k(
    n: Annotated[int, typer.Argument(metavar="N", min=2, help="Holes to measure.")],
    constant: Annotated[float, typer.Argument(metavar="K", help="Acceptability constant.")],
    mean: Mean = None,
    sd: Sd = None,
    lower: Annotated[
        str | None,
        typer.Option("--lower", metavar="SIZE", help="Lower limit of size.", show_default=False),
    ] = None,
    upper: Annotated[
        str | None,
        typer.Option("--upper", metavar="SIZE", help="Upper limit of size.", show_default=False),
    ] = None,
    unit: UnitChoice = None,
    plot: Plot = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Say what a plan by measured sizes lets through, and whether it accepts given ones.

    Where it does not accept, the exit code is 1.
    """
    from holewright.cli.door import NO
    from holewright.jobs.ask_measured import ask_k
    from holewright.units import Unit

    answer = ask_k(
        n,
        constant,
        mean=_length(mean, "mean", unit),
        sd=_length(sd, "sd", unit),
        lower=_length(lower, "lower", unit),
        upper=_length(upper, "upper", unit),
        unit=unit or Unit.MM,
    )
    shown = give(answer, as_json=as_json, columns=columns, plain=plain, plot=plot, force=force)
    return NO if answer.refused else shown
