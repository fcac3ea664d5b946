"""The window of a job: which speeds and feeds its route allows, and what bounds them."""

from __future__ import annotations

from holewright.errors import NoAnswerError
from holewright.jobs.bench import software_version
from holewright.jobs.documents import Document, job_head
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import study_job
from holewright.planning.point import Point
from holewright.planning.window import Window, nearest_border, window_of
from holewright.planning.words import cautions_of
from holewright.sheets.header import INVENTED
from holewright.sheets.render import picture, render_page
from holewright.sheets.window_svg import name_of, window_svg
from holewright.units import Unit, format_feed, format_speed


def point_of_job(job: Job) -> Point:
    """Return the candidate behind the first choice of a job's plan.

    Raises
    ------
    NoAnswerError
        If the plan reams nothing.
    """
    study = study_job(job)
    if study.point is None:
        raise NoAnswerError(f"{job.name}: no reamed route to look at. {study.plan.sentence}")
    return study.point


def study_window(job: Job) -> tuple[Point, Window]:
    """Return the candidate of a job's plan, and the window of its tools.

    Parameters
    ----------
    job : Job
        The job.

    Raises
    ------
    NoAnswerError
        If the plan reams nothing.
    """
    point = point_of_job(job)
    return point, window_of(point)


def say_chosen(window: Window, unit: Unit) -> str:
    """Return the point chosen, in words."""
    return f"Chosen: {format_speed(window.chosen[0], unit)}, {format_feed(window.chosen[1], unit)}."


def say_nearest(window: Window) -> str:
    """Return how far the nearest border is from the point chosen; empty where there is none."""
    near = nearest_border(window, *window.chosen)
    if near is None:
        return ""
    code, factor = near
    return (
        f"The nearest border is {name_of(code)}: a change of {100 * (factor - 1):.0f} % in "
        "speed or feed reaches it."
    )


def window_page(job: Job, point: Point, window: Window, unit: Unit) -> str:
    """Return the window as one HTML file that loads nothing.

    Parameters
    ----------
    job : Job
        The job.
    point : Point
        The candidate that says the tools.
    window : Window
        Its window.
    unit : Unit
        Unit of the axes.
    """
    title = f"Window of {job.callout.text}, {job.material.name}"
    return render_page(
        "window.html",
        title=title,
        invented=job.invented,
        invented_line=INVENTED,
        tools=say_tools(job, point),
        chosen=say_chosen(window, unit),
        nearest=say_nearest(window),
        picture=picture(window_svg(window, unit)),
        closed=window.closed_by,
        borders=[(name_of(border.code), border.text) for border in window.borders],
        cautions=cautions_of(job.callout, job.machine),
        version=software_version(),
    )


def say_tools(job: Job, point: Point) -> str:
    """Return what the window holds for: its tools, machine and coolant."""
    through = " through the tool" if job.coolant.through else ""
    return (
        f"{point.prepared.name}, ream with {point.reamer.id} in {point.holder.id}; "
        f"{job.machine.id}, {job.coolant.fluid}{through}."
    )


def window_document(job: Job, point: Point, window: Window) -> Document:
    """Return the window as JSON data."""
    near = nearest_border(window, *window.chosen)
    return job_head("window", job) | {
        "drill": point.prepared.drill.id,
        "reamer": point.reamer.id,
        "holder": point.holder.id,
        "chosen": {"v_c_m_min": window.chosen[0], "f_mm_rev": window.chosen[1]},
        "nearest": None if near is None else {"code": near[0], "factor": near[1]},
        "v_c_m_min": [float(v) for v in window.v_c],
        "f_mm_rev": [float(f) for f in window.f],
        "allowed": [[bool(cell) for cell in row] for row in window.allowed],
        "borders": [
            {
                "code": border.code,
                "name": name_of(border.code),
                "published": border.code.startswith("published"),
                "text": border.text,
                "lines": [[[float(v), float(f)] for v, f in line] for line in border.lines],
            }
            for border in window.borders
        ],
        "closed_by": list(window.closed_by),
        "cautions": list(cautions_of(job.callout, job.machine)),
    }
