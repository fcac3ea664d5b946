"""The share that would be shown against the holes checked: where the count stands, and what helps.

Two curves begin where the count stands now: all further holes good, and the same picture on
more holes. Where the second one levels off below what is asked for, more holes don't help.
"""

from __future__ import annotations

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.binomial import clopper_pearson
from holewright.proof.sampling import holes_needed
from holewright.shares import share_as_asked, share_at_least
from holewright.sheets.line_plot import Line, LinePlot, line_plot_svg

_POINTS = 80
_CLOSE = 0.8
"""Where the upright axis begins when the share shown is high: what matters is near the top. [-]"""
_FARTHEST = 40
"""The plot ends at most at so many times the holes checked. [-]"""


def share_plot_svg(
    good: int,
    checked: int,
    *,
    inside: float,
    confidence: float,
    width: float = 720.0,
    height: float = 260.0,
) -> str:
    """Return the bound on the share inside against the number of holes checked, as a picture.

    Parameters
    ----------
    good, checked : int
        Holes shown inside, of the holes checked; at least one. [-]
    inside, confidence : float
        Share asked for, and the confidence at which it must be shown. [-]
    width, height : float
        Size of the picture. [px]

    Returns
    -------
    str
        One ``<svg>`` element that loads nothing.

    Raises
    ------
    OutOfRangeError
        If the counts can't be.
    """
    if not 0 <= good <= checked or checked < 1:
        raise OutOfRangeError("good", good, f"from 0 to the {checked} checked")
    not_good = checked - good

    def bound(ok: float, n: float) -> float:
        return float(clopper_pearson(ok, n, confidence, two_sided=False)[0])

    need = _need(inside, confidence, not_good)
    end = min(max(2 * checked, int(1.15 * need) if need else 0, 10), _FARTHEST * max(checked, 8))
    steps = [checked + (end - checked) * i / _POINTS for i in range(_POINTS + 1)]
    now = bound(good, checked)
    share = good / checked
    lines = []
    bottom = _CLOSE if now > _CLOSE + 0.1 else 0.0
    past = [checked ** (i / _POINTS) for i in range(_POINTS + 1)]
    so_far = tuple((n, b) for n in past if (b := bound(share * n, n)) >= bottom)
    if checked > 1 and len(so_far) > 1:
        lines.append(Line(so_far))
    if not_good:
        same = Line(tuple((n, bound(share * n, n)) for n in steps), "the same picture", "2 3")
        lines.append(same)
    lines.append(
        Line(tuple((n, bound(n - not_good, n)) for n in steps), "all further ones good", "7 4")
    )
    wanted = share_as_asked(inside)
    lines.append(Line(((0.0, inside), (float(end), inside)), f"{wanted} asked for"))
    marks = [(float(checked), now, f"now: {checked} checked, {share_at_least(now)} shown")]
    if need and checked < need <= end:
        marks.append((float(need), bound(need - not_good, need), f"{need}, all further ones good"))
    return line_plot_svg(
        LinePlot(
            f"Share of holes shown inside against holes checked, {share_as_asked(confidence)} sure",
            "holes checked",
            f"share shown inside, {share_as_asked(confidence)} sure",
            tuple(lines),
            tuple(marks),
            x_scale="number",
            y_from=bottom,
        ),
        width,
        height,
    )


def _need(inside: float, confidence: float, not_good: int) -> int | None:
    """Return how many holes show the share, so many of them not good; None where none do."""
    try:
        return holes_needed(inside, confidence, not_good)
    except NoAnswerError:
        return None
