"""The Job: one hole feature with all that a plan needs to know."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from holewright.callout.callout import Callout, Limits
from holewright.planning.economy import Economy
from holewright.program.fixture import OPEN, Fixture
from holewright.program.settings import USUAL, ProgramSettings
from holewright.proof.verdict import Demands
from holewright.shop.coolant import Coolant
from holewright.shop.machine import Machine
from holewright.shop.material import Material
from holewright.shop.shop import Shop
from holewright.sizing.treatment import in_process
from holewright.units import Unit


@dataclass(frozen=True)
class GaugingHabits:
    """What a hand and a hole do to what pins say.

    Parameters
    ----------
    clearance : float
        By how much a hole must be larger than a pin for the pin to go by hand. [mm]
    feel : float
        Spread of the same check made again, one standard deviation. [mm]
    form : float, optional
        Radial allowance for form: the wall lies between two cylinders this far apart; None
        where nobody said. [mm]
    """

    clearance: float = 0.0
    feel: float = 0.0
    form: float | None = None


@dataclass(frozen=True)
class Job:
    """A job: one hole feature on one part.

    Parameters
    ----------
    name : str
        Name of the job.
    callout : Callout
        What the drawing asks.
    material : Material
        Work material, with the hardness of this job.
    shop : Shop
        The tool room.
    machine : Machine
        The machine chosen.
    coolant : Coolant
        The coolant chosen on it.
    parts : int
        Parts to make: of the order, or of one year where `yearly`.
    yearly : bool
        Whether `parts` come every year.
    holes : tuple of (float, float)
        Hole centres of one part, from its zero. [mm]
    part, revision, drawing : str
        Numbers on the print.
    unit : Unit
        Unit of the print and of the sheets.
    program_unit : Unit
        Unit of the program.
    habits : GaugingHabits
        What hand and hole do to what pins say.
    economy : Economy
        What time, parts and orders cost.
    demands : Demands
        What is asked before a release.
    part_c : float
        Temperature of the part when it is cut and gauged, unless a reading says. [°C]
    lead_time_days : float, optional
        Days until a reamer that is not owned could be here.
    gauged_after : bool
        Whether holes are gauged after the treatment that the drawing names; before it unless
        the job file says otherwise.
    invented : bool
        Whether the job is an invented example; sheets say so.
    program : ProgramSettings
        How its program is written.
    fixture : Fixture
        How the part is held.
    on_hold : str
        Why the job is on hold; empty where it isn't. No program is written for it unless
        somebody says so.
    notes : tuple of str
        Free text.
    defaults : tuple of str
        Fields that the file left out and what was taken instead, in words.
    """

    name: str
    callout: Callout
    material: Material
    shop: Shop
    machine: Machine
    coolant: Coolant
    parts: int
    holes: tuple[tuple[float, float], ...]
    yearly: bool = False
    part: str = ""
    revision: str = ""
    drawing: str = ""
    unit: Unit = Unit.MM
    program_unit: Unit = Unit.MM
    habits: GaugingHabits = field(default_factory=GaugingHabits)
    economy: Economy = field(default_factory=Economy)
    demands: Demands = field(default_factory=Demands)
    part_c: float = 20.0
    lead_time_days: float | None = None
    gauged_after: bool = False
    invented: bool = False
    program: ProgramSettings = USUAL
    fixture: Fixture = OPEN
    on_hold: str = ""
    notes: tuple[str, ...] = ()
    defaults: tuple[str, ...] = ()

    def shown_in(self, unit: Unit) -> Job:
        """Return the job for pages in one unit: sizes, and sentences that planning makes."""
        return replace(self, unit=unit, callout=replace(self.callout, unit=unit))

    @property
    def gauged_limits(self) -> Limits:
        """Limits that readings are held against: those before a treatment, or after it. [mm]"""
        return (self.callout if self.gauged_after else in_process(self.callout)).limits
