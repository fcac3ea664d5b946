"""Size before a treatment, from the size that the drawing asks for after it."""

from __future__ import annotations

from dataclasses import replace

from holewright.callout.callout import Callout, Growth, Limits
from holewright.errors import NoAnswerError


def limits_before(after: Limits, growth: Growth) -> Limits:
    """Return the limits that the hole must keep before it is treated.

    Parameters
    ----------
    after : Limits
        Limits that hold after the treatment. [mm]
    growth : Growth
        Growth of each wall into the hole: the hole closes by twice that. [mm]

    Returns
    -------
    Limits
        Limits before: opened by twice the growth, and narrowed by twice its doubt at either
        end. [mm]

    Raises
    ------
    NoAnswerError
        If the doubt of the growth takes the whole tolerance: mask the hole, or rework it after.

    Examples
    --------
    A hole of .3130 to .3140 in after 1 thou of growth a side, exactly known:

    >>> before = limits_before(Limits(7.9502, 7.9756), Growth(0.0254, 0.0))
    >>> round(before.lower, 4), round(before.upper, 4)
    (8.001, 8.0264)
    """
    lower = after.lower + 2 * (growth.per_side + growth.doubt)
    upper = after.upper + 2 * (growth.per_side - growth.doubt)
    if lower >= upper:
        raise NoAnswerError(
            f"growth may differ by {4 * growth.doubt:.4f} mm on diameter, the tolerance is "
            f"{after.width:.4f} mm: no size before the treatment is sure to end inside"
        )
    return Limits(lower, upper)


def in_process(callout: Callout) -> Callout:
    """Return the callout as the machine must make it: with the limits before its treatment.

    Parameters
    ----------
    callout : Callout
        The callout as drawn.

    Returns
    -------
    Callout
        The same where there is no treatment, where its growth isn't known, or where its doubt
        takes the whole tolerance.
    """
    if callout.growth is None or 4 * callout.growth.doubt >= callout.limits.width:
        return callout
    return replace(callout, limits=limits_before(callout.limits, callout.growth))
