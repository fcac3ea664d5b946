"""Surface of the hole: what feed alone would leave, and what processes do leave.

In reaming the first is a hundred times smaller than the second: built-up edge, chips that
scratch, chipped corners and the way out make the surface, not the feed marks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, lead_angle, not_negative, positive
from holewright.reference.tables import cite, table


class Process(StrEnum):
    """Ways to make a hole, as the table of their quality names them."""

    JOBBER = "jobber HSS"
    JOBBER_SPOTTED = "jobber HSS spotted"
    CARBIDE_DRILL = "solid carbide"
    FOUR_MARGIN = "solid carbide, four margins"
    GUN_DRILL = "gun drill"
    CORE_DRILL = "core drill"
    REAMING = "reaming"
    REAMING_MULTI_TOOTH = "reaming multi-tooth"
    FINE_BORING = "fine boring"
    HONING = "honing"


@dataclass(frozen=True)
class ProcessQuality:
    """What a process leaves when it goes well and when it goes less well.

    Parameters
    ----------
    process : Process
        The process.
    it_lo, it_hi : int
        Tolerance grades. [-]
    ra_lo, ra_hi : float
        Roughness Ra. [µm]
    axis_lo, axis_hi : float, optional
        Error of the axis; None where the tool follows the hole it finds. [mm]
    source : str
        Where it comes from, in words.
    """

    process: Process
    it_lo: int
    it_hi: int
    ra_lo: float
    ra_hi: float
    axis_lo: float | None
    axis_hi: float | None
    source: str


def process_quality(process: Process) -> ProcessQuality:
    """Return grade, roughness and axis error that a process is known to give.

    Parameters
    ----------
    process : Process
        The process.

    Returns
    -------
    ProcessQuality
        Ranges, not promises; steel, sound tool and machine.
    """
    columns = ("process", "it_lo", "it_hi", "ra_lo", "ra_hi", "axis_lo", "axis_hi")
    row = next(row for row in table("process_quality", columns) if row["process"] == process)
    return ProcessQuality(
        process,
        int(row["it_lo"]),
        int(row["it_hi"]),
        float(row["ra_lo"]),
        float(row["ra_hi"]),
        float(row["axis_lo"]) if row["axis_lo"] else None,
        float(row["axis_hi"]) if row["axis_hi"] else None,
        cite(row["source"]),
    )


def lead_roughness(f: ArrayLike, KAPR: ArrayLike, back_taper: ArrayLike) -> Array:
    r"""Return the height of the feed marks that lead and land of a reamer leave.

    .. math:: R = f / (\cot\kappa_r + \cot\kappa_r')

    Parameters
    ----------
    f : array_like
        Feed per revolution where one tooth is the highest; feed per tooth for a true tool.
        [mm]
    KAPR : array_like
        Lead angle. [deg]
    back_taper : array_like
        Slope of the land to the axis, more than 0. [-]

    Returns
    -------
    ndarray
        Peak-to-valley height. [mm]

    Examples
    --------
    Feed alone would leave a mirror:

    >>> round(float(lead_roughness(0.6, 45.0, 1e-4)) * 1000, 2)
    0.06
    """
    land = 1 / positive("back_taper", back_taper)
    return not_negative("f", f) / (1 / np.tan(lead_angle(KAPR)) + land)


def corner_roughness(f_z: ArrayLike, radius: ArrayLike) -> Array:
    r"""Return the height of the feed marks of a rounded corner.

    .. math:: R = f_z^2 / (8 r)

    Parameters
    ----------
    f_z : array_like
        Feed per tooth, less than `radius`. [mm/tooth]
    radius : array_like
        Corner radius, more than 0. [mm]

    Returns
    -------
    ndarray
        Peak-to-valley height. [mm]
    """
    return not_negative("f_z", f_z) ** 2 / (8 * positive("radius", radius))


def boring_ra(f: ArrayLike, radius: ArrayLike) -> Array:
    r"""Return the mean roughness that a single rounded point leaves.

    .. math:: R_a = f^2 / (18 \sqrt{3}\, r)

    Parameters
    ----------
    f : array_like
        Feed per revolution, less than `radius`. [mm/rev]
    radius : array_like
        Corner radius, more than 0. [mm]

    Returns
    -------
    ndarray
        Ra from the feed alone: the least that can be had. [µm]

    References
    ----------
    .. [1] P.N. Rao, "Manufacturing Technology: Metal Cutting and Machine Tools", p. 62.
    """
    return 1000 * not_negative("f", f) ** 2 / (18 * math.sqrt(3) * positive("radius", radius))


def retract_lead(v_out: ArrayLike, n: ArrayLike) -> Array:
    r"""Return the lead of the helix that an edge scratches on the way out.

    .. math:: P = v_{out} / n

    Parameters
    ----------
    v_out : array_like
        Speed of the return, 0 or more. [mm/min]
    n : array_like
        Spindle speed on the return, 0 for a stopped spindle. [1/min]

    Returns
    -------
    ndarray
        Lead of the helix; infinite for a stopped spindle, which draws a straight line. [mm]

    Notes
    -----
    The lead tells the cause: measure it on the wall and hold it against the program. At the
    feed of the way in the mark lies in the feed marks; at rapid it is a coarse thread.

    Examples
    --------
    Out at 4777 mm/min with 6580 1/min, at a rapid of 20 m/min, and with the spindle stopped:

    >>> retract_lead([4777.0, 20000.0, 20000.0], [6580.0, 6580.0, 0.0]).round(2)
    array([0.73, 3.04,  inf])
    """
    speed, turns = np.broadcast_arrays(not_negative("v_out", v_out), not_negative("n", n))
    lead: Array = np.divide(speed, turns, out=np.full(speed.shape, np.inf), where=turns > 0)
    return lead


def expected_ra(process: Process, feed_marks: ArrayLike = 0.0) -> tuple[Array, Array]:
    """Return the range of Ra to expect, never below what the feed leaves.

    Parameters
    ----------
    process : Process
        The process.
    feed_marks : array_like
        Height of the feed marks, 0 or more; a quarter of it is taken as Ra. [mm]

    Returns
    -------
    tuple of ndarray
        Least and greatest Ra to expect. [µm]

    Notes
    -----
    The range of the process is wide because the cause of roughness is seldom the feed. A shop
    that has measured its own surfaces should go by these.
    """
    quality = process_quality(process)
    from_feed = 1000 * between("feed_marks", feed_marks, 0.0, 1.0) / 4
    return np.maximum(quality.ra_lo, from_feed), np.maximum(quality.ra_hi, from_feed)
