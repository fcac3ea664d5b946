"""What can be the cause, and how its error goes: with depth, direction, along the run, in time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from holewright.reference.tables import cite, table

OTHER = "other"
"""The cause that no list has. It always stays possible."""


class Way(StrEnum):
    """A way in which the error of a cause goes."""

    EVERYWHERE = "everywhere"
    ENTRY = "entry"
    EXIT = "exit"
    TAPER = "taper"
    OVAL = "oval"
    LOBES = "lobes"
    STEADY = "steady"
    STEP = "step"
    FIRST = "first"
    RANDOM = "random"
    TIME = "time"
    INSPECTOR = "inspector"
    NONE = "none"


WAY_WORDS = {
    Way.EVERYWHERE: "the same everywhere",
    Way.ENTRY: "at the entry",
    Way.EXIT: "at the far end",
    Way.TAPER: "evenly with depth",
    Way.OVAL: "with direction: oval",
    Way.LOBES: "with direction: lobes",
    Way.STEADY: "steadily along the run",
    Way.STEP: "in a step along the run",
    Way.FIRST: "on the first hole",
    Way.RANDOM: "from hole to hole without order",
    Way.TIME: "with time after the cut",
    Way.INSPECTOR: "between people or gauges",
    Way.NONE: "not in the size",
}
"""How a way is said."""


@dataclass(frozen=True)
class Signature:
    """One way of a cause's error, with its sign: +1 larger, -1 smaller, 0 either."""

    way: Way
    sign: int = 0

    def __str__(self) -> str:
        """Return it as a person says it."""
        size = {1: "larger ", -1: "smaller ", 0: ""}[self.sign]
        return size + WAY_WORDS[self.way]


@dataclass(frozen=True)
class Cause:
    """One cause.

    Parameters
    ----------
    key : str
        Its short name.
    name : str
        What it is.
    signature : tuple of Signature
        How its error goes, the usual way first.
    how : str
        How it comes about.
    remedy : str
        What to do.
    source : str
        Who says so.
    """

    key: str
    name: str
    signature: tuple[Signature, ...]
    how: str
    remedy: str
    source: str


_SIGNS = {"+": 1, "-": -1}


def _signature(text: str) -> tuple[Signature, ...]:
    found = []
    for word in text.split(";"):
        sign = _SIGNS.get(word[-1], 0)
        found.append(Signature(Way(word.rstrip("+-")), sign))
    return tuple(found)


@cache
def causes() -> Mapping[str, Cause]:
    """Return all causes by their key, in the order of the table."""
    rows = table("diagnosis_causes", ("cause", "name", "signature", "how", "remedy"))
    known = {
        row["cause"]: Cause(
            row["cause"],
            row["name"],
            _signature(row["signature"]),
            row["how"],
            row["remedy"],
            cite(row["source"]),
        )
        for row in rows
    }
    known[OTHER] = Cause(
        OTHER,
        "Something that is not in the list",
        (Signature(Way.NONE),),
        "The list holds what shops usually find, not all there is.",
        "Keep the bad part, write down what was seen, and ask somebody who knows the machine.",
        cite("own-judgement"),
    )
    return known
