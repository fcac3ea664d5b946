"""The page of the demo: what was planned, what the gauges allow to say, and what was true."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from holewright.cli.output import Page
from holewright.jobs.run_demo import DemoJob
from holewright.shares import share_at_least
from holewright.sheets.sizes import size_text
from holewright.units import Unit, format_both, format_feed


def show_demo(page: Page, done: Iterable[DemoJob], out: Path) -> None:
    """Print what a machinist wants to know of the demo."""
    page.say(
        "Brakelund Works is an invented shop, and so are its parts, tools and readings. "
        "The readings were simulated, so here the truth is known."
    )
    for job in done:
        _show_job(page, job)
    page.heading(f"Written to {out}")
    page.points(
        [
            "*-plan.txt, *-plan.json: the plan, with everything it refused and why",
            "*-program.ngc: the program; prove it out dry before anything is cut",
            "*-setup.html, *-proof.html: setup sheet and proof report, to print",
            "*-estimate.json, *-verdict.json: what the gauges said, and what follows",
        ]
    )


def _show_job(page: Page, done: DemoJob) -> None:
    job, planned, unit = done.job, done.plan, done.job.unit
    page.gap()
    page.verdict(f"JOB {done.name.upper()}", f"{job.name}: {job.callout.text}, {job.material.name}")
    page.heading(f"Plan: {planned.verdict}")
    page.say(planned.sentence, indent=2)
    page.points(str(reason) for reason in planned.conditions)
    if planned.route is not None:
        page.table(
            ("", "tool", "size", "n", "feed"),
            [
                (
                    str(step.kind),
                    step.tool,
                    format_both(step.diameter, unit) if step.diameter else "",
                    f"{step.n:.0f}/min" if step.n else "by hand",
                    format_feed(step.f, unit) if step.f else "",
                )
                for step in planned.route.operations
            ],
            right=(3, 4),
        )
    seconds = sum(time for _, time in done.program.seconds)
    page.say(
        f"Program: {len(done.program.holes)} holes, {seconds:.0f} s a part with tool changes.",
        indent=2,
    )
    gauged = (
        f"{done.estimate.n_holes} of {done.truth.lot:,} holes gauged, {len(done.readings)} readings"
    )
    page.heading(f"Verdict: {done.verdict.decision}")
    page.say(f"{gauged}.", indent=2)
    page.say(done.verdict.sentence, indent=2)
    page.points(
        step.text
        for step in done.verdict.next
        if step.text.rstrip(".") not in done.verdict.sentence
    )
    page.heading("What was true, beside what could be said")
    page.table(("", "forecast", "gauges say", "true"), _rows(done, unit), right=(1, 2, 3))
    if done.estimate.limits_of_knowledge:
        page.say("What keeps the gauges from saying more:", indent=2)
        page.points(str(reason) for reason in done.estimate.limits_of_knowledge[:1])


def _rows(done: DemoJob, unit: Unit) -> list[tuple[str, str, str, str]]:
    forecast, estimate, truth = done.plan.forecast, done.estimate, done.truth
    none = "no answer"
    return [
        (
            "mean",
            size_text(forecast.mean, unit) if forecast else none,
            size_text(estimate.mean, unit) if estimate.mean is not None else none,
            size_text(truth.mean, unit),
        ),
        (
            "standard deviation",
            _spread(forecast.sd, unit) if forecast else none,
            _spread(estimate.sd, unit) if estimate.sd is not None else none,
            _spread(truth.sd, unit),
        ),
        (
            "inside, of this lot",
            share_at_least(forecast.inside) if forecast else none,
            f"{share_at_least(done.verdict.inside_lower)} or more",
            share_at_least(truth.inside),
        ),
    ]


def _spread(sd: float, unit: Unit) -> str:
    return f"{sd * 1000:.1f} µm" if unit is Unit.MM else size_text(sd, unit)
