"""The back-plot: what a program's own text makes the tool do, as a page and as a table."""

from __future__ import annotations

import json
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from holewright.program.blocks import decimals, feed
from holewright.program.motion_time import move_seconds
from holewright.program.moves import CutHole, MoveKind
from holewright.program.read_program import ReadProgram
from holewright.sheets.backplot_svg import Scale, plan_svg, section_svg
from holewright.sheets.header import INVENTED
from holewright.sheets.render import picture, render_page
from holewright.units import Unit

CAUTION = (
    "This is what the text says, not what the machine will do. It knows no offsets, no tool "
    "lengths, and of the fixture only what was named. Prove the program out dry, in single block."
)
_MOST_MOVES = 60_000
"""A page with more moves than this is too slow to show; it then stands still."""
_MOST_LINES = 4000


@dataclass(frozen=True)
class CutRow:
    """Holes that one tool makes alike, one after the other.

    Parameters
    ----------
    tool : int
        T word.
    does : str
        What it does there.
    holes : int
        How many. [-]
    n, feed_in, feed_out, bottom, dwell : str
        As they are written, in the unit of the program.
    pecks : int
        Feed moves on the way in. [-]
    """

    tool: int
    does: str
    holes: int
    n: str
    feed_in: str
    feed_out: str
    bottom: str
    pecks: int
    dwell: str


def cut_rows(program: ReadProgram) -> tuple[CutRow, ...]:
    """Return what the program cuts, alike holes on one row.

    Parameters
    ----------
    program : ReadProgram
        The program read back.
    """
    rows = []
    for section in program.sections:
        for _, alike in groupby(section.holes, key=_manner):
            holes = list(alike)
            rows.append(_row(program, section.tool, holes[0], len(holes)))
    return tuple(rows)


def _manner(hole: CutHole) -> tuple[object, ...]:
    return (
        hole.bottom,
        hole.feed_in,
        hole.feed_out,
        hole.n,
        hole.pecks,
        hole.dwell_s,
        hole.feed_entry,
        hole.out_stopped,
    )


def _row(program: ReadProgram, tool: int, hole: CutHole, count: int) -> CutRow:
    unit = program.unit
    entry = feed(hole.feed_entry, unit)[1:]
    feed_in = feed(hole.feed_in, unit)[1:]
    out = feed(hole.feed_out, unit)[1:] if hole.feed_out else "rapid"
    return CutRow(
        tool=tool,
        does=program.does(tool),
        holes=count,
        n=f"{hole.n:.0f}",
        feed_in=feed_in if entry == feed_in else f"{entry}, then {feed_in}",
        feed_out=f"{out}, spindle standing" if hole.out_stopped else out,
        bottom=decimals(hole.bottom, unit),
        pecks=hole.pecks,
        dwell=f"{hole.dwell_s:g} s" if hole.dwell_s else "",
    )


def feed_unit(unit: Unit) -> str:
    """Return what feeds are written in.

    Parameters
    ----------
    unit : Unit
        Unit of the program.
    """
    return "mm/min" if unit is Unit.MM else "in/min"


def backplot_page(program: ReadProgram) -> str:
    """Return the back-plot as one HTML file that loads nothing; the order can be played.

    Without scripting, and on paper, the pictures and tables stand for themselves.

    Parameters
    ----------
    program : ReadProgram
        The program read back; it makes one hole at least.
    """
    plan, scale = plan_svg(program)
    section, heights = section_svg(program)
    lines = program.text.splitlines()
    return render_page(
        "backplot.html",
        program=program,
        plan=picture(plan),
        section=picture(section),
        rows=cut_rows(program),
        feed_unit=feed_unit(program.unit),
        seconds=sum(time.total_s for time in program.times),
        naive=sum(time.naive_s for time in program.times),
        stops=sum(time.stops for time in program.times),
        lines=lines if len(lines) <= _MOST_LINES else [],
        moves=_moves_json(program, scale, heights),
        invented_line=INVENTED,
        caution=CAUTION,
    )


def _moves_json(program: ReadProgram, scale: Scale, heights: tuple[float, float]) -> Markup:
    """Return the moves as data for the script: time, place in both pictures, and what it is.

    Numbers and short texts of ours only, with ``<`` escaped, so that nothing ends the element
    that holds it.
    """
    if sum(len(section.moves) for section in program.sections) > _MOST_MOVES:
        return Markup("[]")
    factor, offset = heights
    data: list[list[object]] = []
    now = 0.0
    for section, time in zip(program.sections, program.times, strict=True):
        now += time.change_s
        names = f"T{section.tool} {program.does(section.tool)}"
        for move, seconds in zip(
            section.moves, move_seconds(section, program.machine).tolist(), strict=True
        ):
            now += seconds
            x, y, z = move.end
            if any(value != value for value in move.end):
                continue
            px, py = scale.place(x, y)
            cuts = int(move.kind is MoveKind.FEED and z < 0)
            where = [decimals(value, program.unit) for value in move.end]
            data.append(
                [
                    round(now, 3),
                    round(px, 1),
                    round(py, 1),
                    round(offset - factor * z, 1),
                    cuts,
                    names,
                    str(move.kind),
                    *where,
                    move.line,
                ]
            )
    # No element can end inside of it: every < is written as its number.
    return Markup(json.dumps(data, separators=(",", ":")).replace("<", "\\u003c"))
