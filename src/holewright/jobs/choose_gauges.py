"""Choose GO and NO-GO from the pins owned: what proves the limits, and what errs least."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.gauging.limit_pins import PinChoice, choose_pins
from holewright.gauging.pin_risk import RiskChoice, SideRisk, choose_by_risk, go_risk, no_go_risk
from holewright.gauging.pin_size import pin_size
from holewright.jobs.job import Job
from holewright.jobs.plan_hole import forecast
from holewright.shop.pin import Pin

BAD_COSTS = 20.0
"""What a bad hole passed costs, in good holes refused, unless somebody says. A judgement. [-]"""
_REACH = 2.0
"""How far from the limits a pin may lie to come into question, in tolerance widths. [-]"""


@dataclass(frozen=True)
class Pair:
    """A GO and a NO-GO with what they do to the holes that are forecast.

    Parameters
    ----------
    go, no_go : Pin, optional
        None where there is none.
    lower, upper : SideRisk
        Bad holes passed and good ones refused at either limit, as shares of all made. Without
        a pin every bad hole beyond that limit passes. [-]
    """

    go: Pin | None
    no_go: Pin | None
    lower: SideRisk
    upper: SideRisk

    @property
    def passes_bad(self) -> float:
        """Share of all holes made that is bad and passed. [-]"""
        return self.lower.passes_bad + self.upper.passes_bad

    @property
    def refuses_good(self) -> float:
        """Share of all holes made that is good and refused. [-]"""
        return self.lower.refuses_good + self.upper.refuses_good


@dataclass(frozen=True)
class GaugeChoice:
    """Which pins to gauge with.

    Parameters
    ----------
    proving : Pair
        Pins that prove their limit whatever their own error: they pass no bad hole.
    least_wrong : Pair
        Pins with the fewest wrong decisions for the holes that are forecast.
    choice : PinChoice
        What the proving pair costs, why pins can't serve, and which would.
    mean, sd : float
        Forecast size of a hole, and its spread. [mm]
    outside : float
        Share of holes that is forecast to be outside. [-]
    bad_costs : float
        What a bad hole passed costs, in good holes refused. [-]
    """

    proving: Pair
    least_wrong: Pair
    choice: PinChoice
    mean: float
    sd: float
    outside: float
    bad_costs: float


def choose_gauges(job: Job, *, bad_costs: float = BAD_COSTS) -> GaugeChoice:
    """Return the pins to gauge a job with, and the risk of each kind that they leave.

    Parameters
    ----------
    job : Job
        The job: its tool room has the pins, its plan the forecast.
    bad_costs : float
        What a bad hole passed costs, in good holes refused; more than 0. [-]

    Raises
    ------
    NoAnswerError
        If no size can be forecast.
    OutOfRangeError
        If `bad_costs` isn't more than 0.
    """
    foretold = forecast(job)
    limits, mean, sd = job.gauged_limits, foretold.mean, foretold.sd
    reach = _REACH * limits.width
    near = [p for p in job.shop.pins if limits.lower - reach <= p.marked <= limits.upper + reach]
    least: RiskChoice = choose_by_risk(limits, near, mean, sd, bad_costs=bad_costs)
    choice = choose_pins(limits, job.shop.pins, unit=job.unit)
    below, above = foretold.size.below(limits.lower), foretold.size.above(limits.upper)
    proving = Pair(
        choice.go,
        choice.no_go,
        go_risk(pin_size(choice.go), limits, mean, sd) if choice.go else SideRisk(below, 0.0),
        no_go_risk(pin_size(choice.no_go), limits, mean, sd)
        if choice.no_go
        else SideRisk(above, 0.0),
    )
    return GaugeChoice(
        proving,
        Pair(least.go, least.no_go, least.lower, least.upper),
        choice,
        mean,
        sd,
        below + above,
        bad_costs,
    )
