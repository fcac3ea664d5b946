"""A callout taken apart, as written: before units and limits are worked out."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from holewright.callout.callout import HoleKind
from holewright.units import Unit


@dataclass(frozen=True)
class Number:
    """A number of the callout, in its own unit if it has one.

    Parameters
    ----------
    text : str
        As typed.
    value : Decimal
        Its value, multiplied by its step if it has one.
    unit : Unit, optional
        The unit typed behind it.
    step : str
        The word of its step, such as ``tenths``; empty without one.
    """

    text: str
    value: Decimal
    unit: Unit | None = None
    step: str = ""

    @property
    def is_bare_whole(self) -> bool:
        """Whether this is five without saying five of what; five inches never are meant."""
        whole = self.text.isdigit() or self.text.isalpha()
        return whole and not self.step and self.unit is not Unit.MM and self.value != 0

    @property
    def places(self) -> int:
        """Figures behind the decimal point or comma."""
        return len(self.text.replace(",", ".").partition(".")[2])


@dataclass(frozen=True)
class Tolerance:
    """A tolerance in one of the ways in which it is written; exactly one part is filled.

    Parameters
    ----------
    hole_class, shaft_class : str
        As in ``H7/g6``.
    deviations : tuple of (int, Number)
        Sign and size of one or two deviations; ``±`` gives two.
    other_limit : Number, optional
        The second limit, where the nominal is the first.
    """

    hole_class: str = ""
    shaft_class: str = ""
    deviations: tuple[tuple[int, Number], ...] = ()
    other_limit: Number | None = None

    @property
    def numbers(self) -> tuple[Number, ...]:
        """All numbers in it."""
        others = () if self.other_limit is None else (self.other_limit,)
        return (*(number for _, number in self.deviations), *others)


@dataclass
class Parts:
    """A callout taken apart.

    Parameters
    ----------
    nominal : Number
        The size in front of the tolerance; the first limit where limits are written.
    tolerance : Tolerance
        What stands behind it.
    size_end : int
        Place in the text behind the size and its limits, where a unit could stand.
    check, check_from : Tolerance and Number, optional
        Deviations or limits written behind a class, and the first of such limits.
    count : int, optional
        How many holes, from ``4x``.
    depth, floor : Number, optional
        As written.
    kind : HoleKind, optional
        Where the text says it.
    says_deep : bool
        Whether a depth carries the word or the sign for it.
    envelope : bool
        Whether E in a circle stands there.
    units : list of Unit
        Units that stand alone and so hold for the whole text.
    """

    nominal: Number
    tolerance: Tolerance
    size_end: int = 0
    check: Tolerance | None = None
    check_from: Number | None = None
    count: int | None = None
    depth: Number | None = None
    floor: Number | None = None
    kind: HoleKind | None = None
    says_deep: bool = False
    envelope: bool = False
    units: list[Unit] = field(default_factory=list)

    @property
    def size_numbers(self) -> tuple[Number, ...]:
        """The numbers that say the size, those behind a class included."""
        first = () if self.check_from is None else (self.check_from,)
        check = () if self.check is None else self.check.numbers
        return (self.nominal, *self.tolerance.numbers, *first, *check)
