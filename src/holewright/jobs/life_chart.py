"""The run chart of a job: its tools one after the other, from the first hole to the one due."""

from __future__ import annotations

import math

import numpy as np

from holewright.jobs.follow_tools import Followed, Lives
from holewright.sheets.run_chart import RunChart, RunLine, RunMark

_POINTS = 61
_BAND = 1.96
"""The band holds 95 % of the holes, by the best estimate."""
_AHEAD = 1.15
"""How far beyond the holes cut the last line is drawn, unless its change comes later. [-]"""


def life_chart(lives: Lives) -> RunChart:
    """Return the run chart of all tools of a job.

    Parameters
    ----------
    lives : Lives
        The tools as they were followed.
    """
    marks: list[RunMark] = []
    lines: list[RunLine] = []
    ticks: list[tuple[float, str]] = []
    begin = 0.0
    for i, one in enumerate(lives.followed):
        last = i == len(lives.followed) - 1
        cut = max(one.cut.values())
        end = _end(one, cut) if last else cut
        if i:
            ticks.append((begin, f"{one.tool or 'tool'} in"))
        for hole in one.holes:
            if hole.contradicts:
                continue
            value = hole.value
            low, high = (value.best, value.best) if value else (hole.lower, hole.upper)
            marks.append(RunMark(begin + one.cut[hole.hole], low, high))
        lines.append(_line(one, begin, end, cut))
        due = one.change.change
        if last and due.side and due.hole <= end:
            ticks.append((begin + due.hole, f"due: hole {due.hole}"))
        begin += cut
    return RunChart(
        f"Size against holes cut: {lives.job.callout.text}",
        lives.job.gauged_limits,
        lives.job.unit,
        tuple(marks),
        tuple(lines),
        tuple(ticks),
    )


def _end(one: Followed, cut: int) -> float:
    due = one.change.change
    ahead = _AHEAD * cut
    return max(ahead, 1.05 * due.hole) if due.side and due.hole < 3 * cut else ahead


def _line(one: Followed, begin: float, end: float, cut: int) -> RunLine:
    trend = one.change.trend
    x = np.unique(np.append(np.linspace(max(trend.first, 1.0), end, _POINTS), cut))
    mean = trend.at(x)
    half = _BAND * trend.sd
    return RunLine(
        tuple((begin + x).tolist()),
        tuple(mean.tolist()),
        tuple((mean - half).tolist()),
        tuple((mean + half).tolist()),
        one.tool,
        foretold_from=begin + cut if end > cut else math.inf,
    )
