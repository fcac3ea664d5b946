"""Speeds and feeds to start from, with their range and where they come from.

A start value is looked up by work material, hardness and tool; it is not a promise, and the
test cut has the last word. Where the tables have no row the nearest is taken, the range widens,
the confidence falls, and the source says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, not_negative, positive
from holewright.cutting.speed_rows import (
    Confidence,
    Found,
    SpeedRow,
    general_feeds,
    speeds,
    stretched,
)
from holewright.errors import NoAnswerError
from holewright.reference.tables import cite
from holewright.shop.drill import DrillKind
from holewright.shop.material import Material
from holewright.shop.reamer import ReamerKind
from holewright.uncertainty import Tag

__all__ = ["Confidence", "StartValues", "deep_hole_factors", "drill_start", "ream_start"]


@dataclass(frozen=True)
class StartValues:
    """Speed and feed to start from.

    Parameters
    ----------
    vc_lo, vc, vc_hi : float
        Cutting speed: least, first choice, greatest. [m/min]
    f_lo, f, f_hi : float
        Feed per revolution: least, first choice, greatest. [mm/rev]
    source : str
        Which rows of which tables, in words, and what was done where none fitted.
    confidence : Confidence
        How well it is known.
    tag : Tag
        ``DEFAULT`` from a row for this material, ``ASSUMED`` where something stood in.
    needs : str
        What the values ask of machine and holder; empty for nothing special.
    """

    vc_lo: float
    vc: float
    vc_hi: float
    f_lo: float
    f: float
    f_hi: float
    source: str
    confidence: Confidence
    tag: Tag
    needs: str = ""


_HARD = 300.0
"""Hardness above which HSS drills are fed from the lower half of their band. [HB] Common
practice, no source."""

_DRILL_OVER_REAM = 1 / 0.65
"""Handbook drilling speed over reaming speed, HSS: median of its 111 materials."""

_TIPPED_OVER_COATED = 0.5
"""Uncoated brazed tips against coated solid carbide. Our judgement."""


def drill_start(material: Material, kind: DrillKind, DC: float) -> StartValues:
    """Return speed and feed to start drilling with.

    Parameters
    ----------
    material : Material
        Work material; its family and hardness are looked up.
    kind : DrillKind
        The drill. A core drill is taken as an HSS drill.
    DC : float
        Cutting diameter, more than 0. [mm]

    Returns
    -------
    StartValues
        Speed [m/min] and feed [mm/rev] with their ranges and source.

    Raises
    ------
    NoAnswerError
        If such a drill doesn't cut the material: HSS in hardened steel.

    Notes
    -----
    For holes to three diameters deep; multiply by :func:`deep_hole_factors` beyond.
    """
    diameter = float(positive("DC", DC))
    if kind in (DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN):
        found = speeds(material, "drill", ("coated-carbide",))
        feed_rows = [row for one in found for row in one.rows]
        return _start(material, found, feed_rows, diameter, teeth=2, what=str(kind))
    found = speeds(material, "drill", ("HSS",))
    if not found:
        found = [
            stretched(one, _DRILL_OVER_REAM, "no drilling row: reaming speed divided by 0.65")
            for one in speeds(material, "ream", ("HSS", "HSS-low-speed"))
        ]
    hard = material.iso513 in ("M", "S", "H") or material.hardness_hb.value > _HARD
    return _start(
        material,
        found,
        general_feeds(material, "drill", "HSS", diameter),
        diameter,
        teeth=2,
        what=str(kind),
        lower_feed=hard,
    )


def ream_start(material: Material, kind: ReamerKind, DC: float, ZEFP: int) -> StartValues:
    """Return speed and feed to start reaming with.

    Parameters
    ----------
    material : Material
        Work material; its family and hardness are looked up.
    kind : ReamerKind
        Tool material and build: the three regimes lie a factor 10 apart in speed.
    DC : float
        Cutting diameter, more than 0. [mm]
    ZEFP : int
        Teeth. [-]

    Returns
    -------
    StartValues
        Speed [m/min] and feed [mm/rev] with their ranges and source.

    Raises
    ------
    NoAnswerError
        If such a reamer doesn't cut the material: HSS in hardened steel.

    Notes
    -----
    For HSS the handbook speed and the slower European practice differ by a factor of 1.5 to 4;
    the range spans both and the first choice is their geometric mean. Coated carbide in steel
    must not be slowed to 15 to 40 m/min, where a built-up edge grows (from memory).
    """
    diameter = float(positive("DC", DC))
    teeth = int(positive("ZEFP", ZEFP))
    if kind is ReamerKind.COATED_CARBIDE:
        found = speeds(material, "ream", ("coated-carbide",))
        feed_rows = [row for one in found for row in one.rows if row.feed]
        return _start(material, found, feed_rows, diameter, teeth=teeth, what=str(kind))
    if kind is ReamerKind.CARBIDE_TIPPED:
        found = speeds(material, "ream", ("carbide-tipped",))
        if not found:
            found = [
                stretched(one, _TIPPED_OVER_COATED, "no row for tips: half of coated carbide")
                for one in speeds(material, "ream", ("coated-carbide",))
            ]
        feed_rows = general_feeds(material, "ream", "carbide-tipped", diameter)
        return _start(material, found, feed_rows, diameter, teeth=teeth, what=str(kind))
    found = speeds(material, "ream", ("HSS", "HSS-low-speed"))
    feed_rows = general_feeds(material, "ream", "HSS", diameter)
    return _start(material, found, feed_rows, diameter, teeth=teeth, what=str(kind))


def deep_hole_factors(depth: ArrayLike, DC: ArrayLike) -> tuple[Array, Array]:
    """Return the factors on speed and feed for deep holes drilled without coolant through.

    Parameters
    ----------
    depth : array_like
        Depth, 0 or more. [mm]
    DC : array_like
        Cutting diameter, more than 0. [mm]

    Returns
    -------
    tuple of ndarray
        Factor on speed, factor on feed; 1 to two diameters, flat beyond six. [-]

    Notes
    -----
    HSS drills, trade chart of unrecorded maker: 3 diameters -10/-10 %, 4 -20/-10, 5 -30/-20,
    6 -35 to -40/-20.
    """
    ratio = not_negative("depth", depth) / positive("DC", DC)
    at = [2.0, 3.0, 4.0, 5.0, 6.0]
    speed = np.interp(ratio, at, [1.0, 0.9, 0.8, 0.7, 0.62])
    return np.asarray(speed), np.asarray(np.interp(ratio, at, [1.0, 0.9, 0.9, 0.8, 0.8]))


def _feed_per_revolution(row: SpeedRow, DC: float, teeth: int) -> tuple[float, float]:
    assert row.feed is not None
    lo, hi = row.feed
    if row.feed_unit == "mm/rev":
        return lo, hi
    if row.feed_unit == "mm/rev/mm":
        return lo * DC, hi * DC
    # A reamer smaller than the row's band has a finer chip room: its feed shrinks with it.
    small = min(1.0, DC / row.dc_lo) if row.dc_lo else 1.0
    return lo * teeth * small, hi * teeth * small


def _start(
    material: Material,
    found: Sequence[Found],
    feed_rows: Sequence[SpeedRow],
    DC: float,
    *,
    teeth: int,
    what: str,
    lower_feed: bool = False,
) -> StartValues:
    """Return the start values that speeds and feed rows make together."""
    if not found:
        raise NoAnswerError(
            f"{what} in {material.name} ({material.family}, ISO 513 group {material.iso513}): "
            "no table has a speed for it, nor for anything near; choose a coated carbide tool "
            "or enter speed and feed yourself"
        )
    centre = math.exp(math.fsum(math.log(one.vc[1]) for one in found) / len(found))
    feeds = [_feed_per_revolution(row, DC, teeth) for row in feed_rows]
    speed_rows = [row for one in found for row in one.rows]
    used = [*speed_rows, *feed_rows]
    notes = [note for one in found for note in one.notes]
    if any(not row.dc_lo <= DC <= row.dc_hi for row in used):
        notes.append(f"diameter {DC:g} mm lies outside the rows' band")
    if material.iso513 != "P" and any(row.iso513 == ("P",) and not row.vc for row in feed_rows):
        notes.append("feed of steel taken")
    if lower_feed:
        feeds = [(lo, math.sqrt(lo * hi)) for lo, hi in feeds]
        notes.append("lower half of the feed band, for a hard or tough material")
    order = list(Confidence)
    worst = max(order.index(row.confidence) for row in used) + max(one.steps for one in found)
    worst += len(notes) > sum(len(one.notes) for one in found)
    where = "; ".join(dict.fromkeys(cite(row.source) for row in used))
    rows = ", ".join(dict.fromkeys(row.material for row in speed_rows))
    return StartValues(
        vc_lo=min(one.vc[0] for one in found),
        vc=centre,
        vc_hi=max(one.vc[2] for one in found),
        f_lo=min(lo for lo, _ in feeds),
        f=math.exp(math.fsum(math.log(lo * hi) / 2 for lo, hi in feeds) / len(feeds)),
        f_hi=max(hi for _, hi in feeds),
        source="; ".join([f"rows {rows}", *dict.fromkeys(notes)]) + f" [{where}]",
        confidence=order[min(worst, len(order) - 1)],
        tag=Tag.ASSUMED if notes else Tag.DEFAULT,
        needs="; ".join(dict.fromkeys(row.needs for row in used if row.needs)),
    )
