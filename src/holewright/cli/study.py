"""``holewright study``: gauges and the hands that use them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from holewright.cli.answer import Plot, give
from holewright.cli.door import answers
from holewright.cli.options import Columns, Force, Json, Plain, UnitChoice


@answers
def study(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE.csv",
            help="part,operator,size: repeatability. part,operator,answer[,truth]: agreement. "
            "master,size: bias. hole,pin,result or difference,goes,tries: feel.",
            show_default=False,
        ),
    ],
    tolerance: Annotated[
        str | None,
        typer.Option(
            "--tolerance",
            metavar="WIDTH",
            help='Width of the tolerance that the gauge is for, e.g. "15 µm" or ".0005 in".',
            show_default=False,
        ),
    ] = None,
    confidence: Annotated[
        str, typer.Option("--confidence", metavar="SHARE", help="How sure bounds have to be.")
    ] = "95 %",
    unit: UnitChoice = None,
    plot: Plot = None,
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Study a gauge, or the hands that use it: repeatability, agreement, bias, feel.

    The columns of the file say which study it is; a column unit says the unit of its lengths.
    """
    from holewright.jobs.fields import length, option, share
    from holewright.jobs.study_gauges import study_gauge
    from holewright.jobs.studyfile import read_study

    width = None if tolerance is None else length(option("tolerance", tolerance, unit), "tolerance")
    answer = study_gauge(
        read_study(file, unit),
        tolerance=width,
        confidence=share(option("confidence", confidence), "confidence"),
        unit=unit,
    )
    return give(answer, as_json=as_json, columns=columns, plain=plain, plot=plot, force=force)
