"""``holewright demo``: the whole way on two invented jobs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holewright.cli.door import GOOD, answers, check_free
from holewright.cli.options import Columns, Force, Json, Plain

if TYPE_CHECKING:
    from holewright.jobs.run_demo import DemoJob

_ENDINGS = (
    "plan.txt",
    "plan.json",
    "program.ngc",
    "setup.html",
    "estimate.json",
    "verdict.json",
    "proof.html",
)


@answers
def demo(
    out: Annotated[
        Path,
        typer.Option("--out", "-o", metavar="DIR", help="Folder to write to; made if need be."),
    ] = Path("holewright-demo"),
    force: Force = False,
    as_json: Json = False,
    columns: Columns = None,
    plain: Plain = False,
) -> int:
    """Run two invented jobs from callout to verdict, and show what was true.

    Their readings are simulated, so that the truth can stand beside what the gauges allow to say.
    """
    from holewright.cli.demo_page import show_demo
    from holewright.cli.output import Page, print_json, working
    from holewright.jobs.bench import open_bench
    from holewright.jobs.documents import demo_document
    from holewright.jobs.run_demo import NAMES, run_demo

    files = {name: [out / f"{name}-{ending}" for ending in _ENDINGS] for name in NAMES}
    check_free([path for paths in files.values() for path in paths], force=force)
    with working("starting") as report:
        done = run_demo(open_bench(), report=report)
    out.mkdir(parents=True, exist_ok=True)
    for job in done:
        _write(job, files[job.name])
    if as_json:
        paths = {name: [str(path) for path in made] for name, made in files.items()}
        print_json(demo_document(done, str(out), paths))
    else:
        show_demo(Page(columns, plain=plain), done, out)
    return GOOD


def _write(done: DemoJob, paths: list[Path]) -> None:
    """Write every document of a job."""
    import io
    import json

    from holewright.cli.output import USUAL, Page
    from holewright.cli.plan_page import show_plan
    from holewright.jobs.documents import plan_document
    from holewright.jobs.proof_documents import estimate_document, verdict_document

    page = io.StringIO()
    show_plan(Page(USUAL, stream=page), done.job, done.plan, done.job.unit)
    texts = (
        page.getvalue(),
        json.dumps(plan_document(done.job, done.plan), indent=2, allow_nan=False) + "\n",
        done.program.text,
        done.setup,
        json.dumps(estimate_document(done.job, done.estimate), indent=2, allow_nan=False) + "\n",
        json.dumps(verdict_document(done.job, done.verdict), indent=2, allow_nan=False) + "\n",
        done.proof,
    )
    for path, text in zip(paths, texts, strict=True):
        path.write_text(text, encoding="utf-8", newline="\n")
