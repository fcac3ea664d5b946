"""Programs read back, times and found holes as plain JSON data; keys in ``program_keys.py``."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from holewright.jobs.documents import head

if TYPE_CHECKING:
    from holewright.callout.found_hole import FoundHole, HoleGroup
    from holewright.jobs.hole_source import HoleList
    from holewright.program.motion_time import SectionTime
    from holewright.program.read_program import ReadProgram


def backplot_document(read: ReadProgram, path: str | None) -> dict[str, Any]:
    """Return a program read back as JSON data, with the file its picture was written to."""
    return head("backplot") | {
        "name": read.name,
        "path": path,
        "invented": read.invented,
        "unit": str(read.unit),
        "total_s": math.fsum(time.total_s for time in read.times),
        "tools": [
            {
                "tool": section.tool,
                "does": read.does(section.tool),
                "diameter_mm": read.diameter(section.tool) or None,
                "work_offset": f"G{section.work_offset}",
                "holes": [
                    {
                        "x_mm": hole.x,
                        "y_mm": hole.y,
                        "bottom_mm": hole.bottom,
                        "feed_entry_mm_min": hole.feed_entry,
                        "feed_in_mm_min": hole.feed_in,
                        "feed_out_mm_min": hole.feed_out,
                        "n_1_min": hole.n,
                        "feeds": hole.pecks,
                        "dwell_s": hole.dwell_s,
                    }
                    for hole in section.holes
                ],
            }
            for section in read.sections
        ],
        "clashes": [
            {"line": clash.line, "tool": clash.tool, "code": clash.code, "text": clash.text}
            for clash in read.clashes
        ],
    }


def time_document(read: ReadProgram) -> dict[str, Any]:
    """Return where the time of a part goes as JSON data."""
    return head("time") | {
        "name": read.name,
        "invented": read.invented,
        "machine": read.machine.id if read.own_machine else None,
        "tools": [_time_data(time) | {"does": read.does(time.tool)} for time in read.times],
        "total_s": math.fsum(time.total_s for time in read.times),
        "naive_s": math.fsum(time.naive_s for time in read.times),
        "stops": sum(time.stops for time in read.times),
    }


def _time_data(time: SectionTime) -> dict[str, Any]:
    return {
        "tool": time.tool,
        "rapid_s": time.rapid_s,
        "feed_s": time.feed_s,
        "dwell_s": time.dwell_s,
        "spindle_s": time.spindle_s,
        "change_s": time.change_s,
        "total_s": time.total_s,
        "naive_s": time.naive_s,
        "stops": time.stops,
    }


def holes_document(found: HoleList, path: str | None) -> dict[str, Any]:
    """Return the holes of a part as JSON data, with the job file that was written."""
    return head("holes") | {
        "source": found.source,
        "path": path,
        "groups": [_group_data(group) for group in found.groups],
    }


def _group_data(group: HoleGroup) -> dict[str, Any]:
    return {
        "name": group.name,
        "diameter_mm": group.diameter,
        "direction": list(group.direction),
        "level_mm": group.level,
        "kind": str(group.kind) if group.kind is not None else None,
        "holes": [
            _hole_data(hole) | {"x_mm": x, "y_mm": y}
            for hole, (x, y) in zip(group.holes, group.places, strict=True)
        ],
    }


def _hole_data(hole: FoundHole) -> dict[str, Any]:
    return {
        "name": hole.name,
        "entry_mm": list(hole.entry),
        "diameter_mm": hole.diameter,
        "depth_mm": hole.depth,
        "point_mm": hole.point,
        "point_angle_deg": hole.point_angle,
        "entry_slope_deg": hole.entry_slope,
        "exit_slope_deg": hole.exit_slope,
        "chamfer_mm": hole.chamfer,
        "wall_mm": hole.wall,
        "cross_bores": [
            {"diameter_mm": bore.diameter, "depth_mm": bore.depth} for bore in hole.cross_bores
        ],
        "gaps_mm": [list(gap) for gap in hole.gaps],
        "callout": hole.callout,
    }
