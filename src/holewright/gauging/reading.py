"""Readings as they are taken at the machine."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.errors import InputError, Where


@dataclass(frozen=True)
class Reading:
    """One check of one hole: a pin that goes or does not go, or a size read off.

    Parameters
    ----------
    hole : str
        Name of the hole.
    gauge : str
        `id` of the pin or bore gauge in the tool room.
    goes : bool, optional
        For a pin: whether it went in by hand, full length unless `depth` says otherwise.
    size : float, optional
        For a bore gauge: the size as it was read. [mm]
    depth : float, optional
        Depth of the check below the entry face; None: full length. [mm]
    part_c, gauge_c : float
        Temperatures of part and gauge. [°C]
    where : Where, optional
        Row that it was read from.
    note : str
        Free text.
    """

    hole: str
    gauge: str
    goes: bool | None = None
    size: float | None = None
    depth: float | None = None
    part_c: float = 20.0
    gauge_c: float = 20.0
    where: Where | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if (self.goes is None) == (self.size is None):
            raise InputError(
                "reading of hole " + self.hole,
                self.gauge,
                "must say either whether the pin goes or the size that was read, not both",
                self.where,
            )
