"""How a program is to be written: what this control has, and what this shop wants.

Settings say what a control *does*, never whose it is. Where a control lacks a cycle, the
same moves are written long-hand, so that the hole is the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from holewright.errors import InputError, OutOfRangeError
from holewright.program.planes import Planes

CYCLES = ("G73", "G81", "G82", "G83", "G85", "G86", "G89")
"""Drilling and boring cycles that are written where the control has them."""
WORK_OFFSETS = ("G54", "G55", "G56", "G57", "G58", "G59")


class FeedMode(StrEnum):
    """What the F word means."""

    PER_MINUTE = "G94"
    PER_REVOLUTION = "G95"


class Numbers(StrEnum):
    """How a number with a decimal point is written; it always has its point."""

    FIXED = "8.000"
    SHORT = "8."


class CommentForm(StrEnum):
    """How the control knows a comment."""

    PARENTHESES = "()"
    SEMICOLON = ";"


class CycleRetract(StrEnum):
    """How a cycle ends on this control."""

    INITIAL = "G98"
    """G98: the cycle itself goes back to the initial plane."""
    RETRACT = "G99"
    """G99: the cycle stays at R, and a G0 of its own goes up."""


class PeckCycle(StrEnum):
    """How a drill pecks."""

    FULL = "G83"
    """Out of the hole after each peck."""
    BREAK = "G73"
    """A short way back that breaks the chip."""


class BoreOut(StrEnum):
    """How a boring tool leaves the hole."""

    AS_PLANNED = "as planned"
    STOPPED = "G86"
    """Spindle stopped, then at rapid: leaves one straight line, where the print allows it."""


class DwellUnit(StrEnum):
    """What P of a dwell is in."""

    SECONDS = "s"
    MILLISECONDS = "ms"


class Travel(StrEnum):
    """How high the tool goes from hole to hole."""

    INITIAL = "initial"
    RETRACT = "retract"
    """At R, where every clamp on the way is named as a keep-out."""


class HoleOrder(StrEnum):
    """In which order the holes are made."""

    SAME = "same"
    """Shortest way, the same by each tool: each hole waits alike for its next tool."""
    THERE_AND_BACK = "there and back"
    """Shortest way, each tool begins where the last one ended."""
    AS_GIVEN = "as given"


class StopWord(StrEnum):
    """How a stop between holes is written."""

    ALWAYS = "M0"
    OPTIONAL = "M1"
    """The control stops only while its optional stop is on."""


class EndWord(StrEnum):
    """The block that ends the program."""

    REWIND = "M30"
    END = "M2"


class LineNumbers(StrEnum):
    """How blocks are numbered."""

    TENS = "tens"
    """N10, N20 … as long as four digits hold them, then in ones."""
    ONES = "ones"
    NONE = "none"


@dataclass(frozen=True)
class ProgramSettings:
    """How a program is written; the section ``[program]`` of a job file.

    Parameters
    ----------
    work_offset : str
        G54 to G59.
    feed_mode : FeedMode
        Feed by the minute or by the revolution.
    numbers : Numbers
        ``8.000`` or ``8.``.
    comments : CommentForm
        ``( … )`` or ``; …``.
    cycles : tuple of str
        The cycles that this control has; others are written long-hand.
    cycle_retract : CycleRetract
        G98, or G99 with a G0 of its own.
    peck_cycle : PeckCycle
        Out of the hole after each peck, or a chip break.
    bore_out : BoreOut
        As the route has it, or with a stopped spindle.
    dwell_unit : DwellUnit
        Seconds or milliseconds in P.
    end : EndWord
        M30 or M2.
    program_number : int, optional
        O word at the start; None for none.
    tape_sign : bool
        Whether ``%`` begins and ends the text.
    line_numbers : LineNumbers
        In tens, in ones, or none.
    stop : StopWord
        M0 or M1 at the stops below. By-hand steps and the first stop on hold are always M0.
    block_skip : bool
        Whether the blocks of those stops begin with ``/``, so that the control can skip them.
    chip_stop_every : int
        Stop to clear chips after so many drilled or bored holes; 0 for never. [-]
    gauge_every : int
        Stop to gauge after so many reamed holes, and after the first; 0 for never. [-]
    break_check : bool
        Whether to stop after each tool and look whether it is whole.
    subprograms : bool
        Whether hole positions that come more than once go into a subprogram (M98, M99).
    entry_feed : float
        Feed of the first stretch of a reamed hole, as a share of the feed. [-]
    entry_depth : float
        How long that stretch is, in diameters. [-]
    order : HoleOrder
        In which order the holes are made.
    travel : Travel
        How high the tool goes between holes.
    planes : Planes, optional
        Heights; None for :func:`holewright.program.planes.usual_planes`.
    """

    work_offset: str = "G54"
    feed_mode: FeedMode = FeedMode.PER_MINUTE
    numbers: Numbers = Numbers.FIXED
    comments: CommentForm = CommentForm.PARENTHESES
    cycles: tuple[str, ...] = CYCLES
    cycle_retract: CycleRetract = CycleRetract.INITIAL
    peck_cycle: PeckCycle = PeckCycle.FULL
    bore_out: BoreOut = BoreOut.AS_PLANNED
    dwell_unit: DwellUnit = DwellUnit.SECONDS
    end: EndWord = EndWord.REWIND
    program_number: int | None = None
    tape_sign: bool = True
    line_numbers: LineNumbers = LineNumbers.TENS
    stop: StopWord = StopWord.ALWAYS
    block_skip: bool = False
    chip_stop_every: int = 0
    gauge_every: int = 0
    break_check: bool = False
    subprograms: bool = False
    entry_feed: float = 1.0
    entry_depth: float = 1.0
    order: HoleOrder = HoleOrder.SAME
    travel: Travel = Travel.INITIAL
    planes: Planes | None = None

    def __post_init__(self) -> None:
        if self.work_offset not in WORK_OFFSETS:
            raise InputError("work_offset", self.work_offset, "must be one of G54 to G59")
        for cycle in self.cycles:
            if cycle not in CYCLES:
                raise InputError("cycles", cycle, f"must be among {', '.join(CYCLES)}")
        if self.program_number is not None and not 1 <= self.program_number <= 9999:
            raise OutOfRangeError("program_number", self.program_number, "from 1 to 9999")
        if not 0.1 <= self.entry_feed <= 1:
            raise OutOfRangeError("entry_feed", self.entry_feed, "from 0.1 to 1")
        if not 0 < self.entry_depth <= 5:
            raise OutOfRangeError("entry_depth", self.entry_depth, "more than 0, up to 5 diameters")
        for name in ("chip_stop_every", "gauge_every"):
            if getattr(self, name) < 0:
                raise OutOfRangeError(name, getattr(self, name), "0 or more")


USUAL = ProgramSettings()
"""What is written where nobody asks for anything else."""
