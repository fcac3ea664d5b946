"""The table of speeds and feeds, read once, and the search for the rows nearest to a material."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from holewright.reference.tables import table
from holewright.shop.material import Material


class Confidence(StrEnum):
    """How well a start value is known."""

    HANDBOOK = "handbook"
    FAIR = "fair"
    WEAK = "weak"


@dataclass(frozen=True)
class SpeedRow:
    """A row of the table, as numbers.

    Parameters
    ----------
    iso513, families, substrates : tuple of str
        Groups, families and tool materials for which it holds.
    material, operation, feed_unit, needs, source : str
        As printed; `source` is a key.
    hb_lo, hb_hi : float
        Hardness; 0 and infinity where none is printed. [HB]
    vc : tuple of float, optional
        Least, printed and greatest speed; None in a row that gives feed alone. [m/min]
    feed : tuple of float, optional
        Least and greatest feed, in `feed_unit`.
    dc_lo, dc_hi : float
        Diameters. [mm]
    confidence : Confidence
        How well it is known.
    """

    iso513: tuple[str, ...]
    families: tuple[str, ...]
    material: str
    hb_lo: float
    hb_hi: float
    operation: str
    substrates: tuple[str, ...]
    vc: tuple[float, float, float] | None
    feed: tuple[float, float] | None
    feed_unit: str
    dc_lo: float
    dc_hi: float
    needs: str
    confidence: Confidence
    source: str


@dataclass(frozen=True)
class Found:
    """What one regime of speeds says, and how far its rows had to be stretched.

    Parameters
    ----------
    vc : tuple of float
        Least speed, first choice and greatest. [m/min]
    rows : tuple of SpeedRow
        The rows it comes from.
    steps : int
        How often it had to be stretched to a neighbour.
    notes : tuple of str
        Each stretch in words.
    """

    vc: tuple[float, float, float]
    rows: tuple[SpeedRow, ...]
    steps: int
    notes: tuple[str, ...]


_ONE_SPEED = (0.75, 1.15)
"""Range around a speed printed alone. Our judgement: such tables print nearly the top."""

_WIDER = 1.25
"""How much one step away from the right row widens the range, each way. Our judgement."""

_HARDNESS_EXPONENT = 2.0
"""Beyond the hardest row speed falls with this power of hardness: in the handbook's plain
carbon steels from 250 to 400 HB it falls with the power 1.9."""


@cache
def speed_rows() -> tuple[SpeedRow, ...]:
    """Return all rows of ``reference/speeds_feeds.csv``."""
    columns = ("iso513", "family", "material", "hb_lo", "hb_hi", "operation", "substrate", "vc")
    return tuple(
        SpeedRow(
            iso513=tuple(row["iso513"].split()),
            families=tuple(row["family"].split()),
            material=row["material"],
            hb_lo=float(row["hb_lo"] or 0.0),
            hb_hi=float(row["hb_hi"] or math.inf),
            operation=row["operation"],
            substrates=tuple(row["substrate"].split()),
            vc=_speed_range(row["vc_lo"], row["vc"], row["vc_hi"]),
            feed=(float(row["feed_lo"]), float(row["feed_hi"])) if row["feed_lo"] else None,
            feed_unit=row["feed_unit"],
            dc_lo=float(row["dc_lo"] or 0.0),
            dc_hi=float(row["dc_hi"] or math.inf),
            needs=row["needs"],
            confidence=Confidence(row["confidence"]),
            source=row["source"],
        )
        for row in table("speeds_feeds", columns)
    )


def _speed_range(lo: str, centre: str, hi: str) -> tuple[float, float, float] | None:
    if not centre:
        return None
    vc = float(centre)
    return (float(lo or vc * _ONE_SPEED[0]), vc, float(hi or vc * _ONE_SPEED[1]))


def speeds(material: Material, operation: str, regimes: Sequence[str]) -> list[Found]:
    """Return what each regime of speeds says of a material; none where it has no row.

    Parameters
    ----------
    material : Material
        Work material.
    operation : str
        ``drill`` or ``ream``.
    regimes : sequence of str
        Tool materials as the table names them.

    Returns
    -------
    list of Found
        One a regime that has something to say.

    Notes
    -----
    Beside rows of the family itself only kin that cuts the same may speak; other kin is asked
    where no regime has a row of the family.
    """
    tables = [
        [
            row
            for row in speed_rows()
            if row.vc and row.operation == operation and regime in row.substrates
        ]
        for regime in regimes
    ]
    own = [_by_family(rows, material, material.family) for rows in tables]
    alike = any(own)
    found = [one or _by_kin(rows, material, alike) for one, rows in zip(own, tables, strict=True)]
    return [one for one in found if one]


def _by_family(rows: Sequence[SpeedRow], material: Material, family: str) -> Found | None:
    """Return the rows of a family at the material's hardness, or those nearest to it."""
    own = [row for row in rows if family in row.families]
    if not own:
        return None
    hb = material.hardness_hb.value
    fitting = [row for row in own if row.hb_lo <= hb <= row.hb_hi]
    if fitting:
        return Found(_mean_speed(fitting), tuple(fitting), 0, ())
    distance = min(_outside(row, hb) for row in own)
    nearest = [row for row in own if _outside(row, hb) == distance]
    found = Found(_mean_speed(nearest), tuple(nearest), 0, ())
    edge = max(row.hb_hi for row in nearest)
    if hb <= edge:
        return stretched(found, 1.0, f"no row at {hb:.0f} HB: the next harder taken")
    slower = (edge / hb) ** _HARDNESS_EXPONENT
    return stretched(
        found, slower, f"no row at {hb:.0f} HB: that to {edge:.0f} HB slowed to {slower:.0%}"
    )


def _by_kin(rows: Sequence[SpeedRow], material: Material, alike: bool) -> Found | None:
    """Return the rows of the family's next of kin, scaled; only of such as cut `alike`, if so."""
    for kin in table("family_kin", ("family", "kin", "speed_factor", "reason")):
        factor = float(kin["speed_factor"])
        if kin["family"] != material.family or (alike and factor != 1):
            continue
        found = _by_family(rows, material, kin["kin"])
        if found:
            times = f" times {factor:g}" if factor != 1 else ""
            note = f"no row for {material.family}: {kin['kin']}{times} taken ({kin['reason']})"
            return stretched(found, factor, note)
    return None


def _outside(row: SpeedRow, hb: float) -> float:
    return max(row.hb_lo - hb, hb - row.hb_hi, 0.0)


def stretched(found: Found, factor: float, note: str) -> Found:
    """Return a finding one step further from the right row: scaled, wider, with a note.

    Parameters
    ----------
    found : Found
        What the rows say.
    factor : float
        Factor on their speeds. [-]
    note : str
        What was done, in words.

    Returns
    -------
    Found
        The speeds scaled, their range wider each way.
    """
    lo, vc, hi = found.vc
    wider = (lo * factor / _WIDER, vc * factor, hi * factor * _WIDER)
    return Found(wider, found.rows, found.steps + 1, (*found.notes, note))


def _mean_speed(rows: Iterable[SpeedRow]) -> tuple[float, float, float]:
    speeds = [row.vc for row in rows if row.vc]
    centre = math.exp(math.fsum(math.log(vc) for _, vc, _ in speeds) / len(speeds))
    return (min(lo for lo, _, _ in speeds), centre, max(hi for _, _, hi in speeds))


def general_feeds(material: Material, operation: str, substrate: str, DC: float) -> list[SpeedRow]:
    """Return the feed rows that hold for any material of a group at a diameter.

    Parameters
    ----------
    material : Material
        Work material; steel's rows stand in for a group that has none.
    operation, substrate : str
        ``drill`` or ``ream``, and the tool material as the table names it.
    DC : float
        Cutting diameter. [mm]

    Returns
    -------
    list of SpeedRow
        At least one; the last of the table where no band holds the diameter.
    """
    rows = [
        row
        for row in speed_rows()
        if row.feed and not row.vc and row.operation == operation and substrate in row.substrates
    ]
    group = [row for row in rows if material.iso513 in row.iso513]
    if not any(row.feed_unit == "mm/rev" for row in group):
        group += [row for row in rows if row.iso513 == ("P",)]
    fitting = [row for row in group if row.dc_lo < DC <= row.dc_hi]
    return fitting or group[-1:]
