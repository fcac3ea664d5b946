"""The head and the foot that every sheet carries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from holewright.units import Unit

INVENTED = "Invented example: no real company, part or tool."


class PageKind(StrEnum):
    """Which sheet it is."""

    SETUP = "setup sheet"
    PROOF = "proof report"
    TEST_CUT = "test-cut record"
    GAUGING = "gauging sheet"
    TRAVELLER = "hole traveller"
    PLATE = "test plate sheet"
    FAULT = "test list for fault finding"


@dataclass(frozen=True)
class SheetHeader:
    """What identifies a sheet. An empty text prints as a blank to fill in by hand.

    Parameters
    ----------
    job : str
        Name of the job.
    part, revision, drawing : str
        Numbers on the print.
    unit : Unit
        Unit of the print; every sheet says it first.
    machine : str
        Machine by its name in the tool room.
    date : datetime
        When the sheet was made.
    version : str
        Version of holewright.
    data_version : str
        Version of the reference data.
    invented : bool
        Whether the job is an invented example; the sheet then says so, head and foot.
    kind : PageKind
        Which sheet it is.
    quantity : str
        Parts to make, in words.
    """

    job: str
    part: str
    revision: str
    drawing: str
    unit: Unit
    machine: str
    date: datetime
    version: str
    data_version: str
    invented: bool = False
    kind: PageKind = PageKind.SETUP
    quantity: str = ""


def foot(header: SheetHeader) -> str:
    """Return the line at the foot of every page."""
    parts = [
        header.job,
        f"part {header.part}" if header.part else "",
        f"revision {header.revision}" if header.revision else "",
        f"{header.date:%Y-%m-%d}",
        f"holewright {header.version}",
        f"data {header.data_version}" if header.data_version else "",
        "invented example" if header.invented else "",
    ]
    return " · ".join(part for part in parts if part)
