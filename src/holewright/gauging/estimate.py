"""The Estimate document: the size that came, as far as the readings tell."""

from __future__ import annotations

from dataclasses import dataclass, field

from holewright.gauging.count_holes import Shown
from holewright.gauging.interval_fit import IntervalFit
from holewright.reasons import Reason


@dataclass(frozen=True)
class HoleInterval:
    """What the readings of one hole say together: its size at 20 °C lies in here.

    Parameters
    ----------
    hole : str
        Name of the hole.
    lower, upper : float
        Bounds; ``-inf`` or ``inf`` where no reading bounds it. From pins they are sure: the
        pins' own uncertainty is in them. Equal where a bore gauge gave a value. [mm]
    u : float
        Standard uncertainty that isn't yet in the bounds: that of a bore gauge's value; 0
        for pins. [mm]
    shown : Shown, optional
        Whether all its readings together show it inside or outside, by the rule that the
        estimate counts by; None where nobody said.
    """

    hole: str
    lower: float
    upper: float
    u: float = 0.0
    shown: Shown | None = None


@dataclass(frozen=True)
class WithForecast:
    """What is known when the forecast and the readings are heard together.

    Parameters
    ----------
    mean, sd : float
        Medians of mean and scatter. [mm]
    mean_interval, sd_interval : tuple of float
        Two-sided intervals of both. [mm]
    inside : float
        Share of holes inside the limits: the chance that the next hole is good. [-]
    inside_interval : tuple of float
        Two-sided interval of the share. [-]
    outside_in_lot : int, optional
        Most holes of those not yet checked that may be outside, one-sided.
    draws : float
        Effective number of draws behind these figures; under some hundreds, don't trust
        the ends of the intervals. [-]
    """

    mean: float
    sd: float
    mean_interval: tuple[float, float]
    sd_interval: tuple[float, float]
    inside: float
    inside_interval: tuple[float, float]
    outside_in_lot: int | None
    draws: float


@dataclass(frozen=True)
class Estimate:
    """The size that came.

    Parameters
    ----------
    n_holes : int
        Holes with at least one usable reading.
    method : str
        How it was computed, in words.
    size_kind : str
        Which size it is about, in words of ISO 14405-1, e.g. ``maximum inscribed (pin)``.
    holes : tuple of HoleInterval
        What is known hole by hole.
    good, bad, unsure : int
        Holes shown to be inside the limits, shown to be outside, and neither.
    inside_lower : float
        Lower bound on the share of all holes of this process inside the limits. It always
        exists: without a fit that can be relied on it is `inside_counted`. [-]
    confidence : float
        Confidence of `inside_lower` (one-sided) and of the intervals (two-sided). [-]
    inside : float, optional
        Best estimate of that share; None where the data allow none. [-]
    below, above : float, optional
        Best estimates of the shares below and above the limits. [-]
    mean, sd : float, optional
        Fitted mean and standard deviation; None where no finite fit exists. [mm]
    mean_interval, sd_interval : tuple of float, optional
        Two-sided intervals of both. [mm]
    contradictions : tuple of Reason
        Readings that cannot all be true.
    limits_of_knowledge : tuple of Reason
        What keeps this from being known better, the worst first.
    inside_counted : float, optional
        The same bound by counting good holes: exact, whatever the distribution. [-]
    inside_fitted : float, optional
        The same bound from the fitted normal distribution, pins' own errors counted; None
        where no finite fit exists. As good as sizes are normal. [-]
    inside_interval : tuple of float, optional
        Two-sided interval of `inside` from the fit. [-]
    remarks : tuple of Reason
        Whether a normal distribution fits, holes that stand apart, signs of two groups,
        what each cause does to size.
    with_forecast : WithForecast, optional
        Forecast and readings together, where a forecast was given.
    fit : IntervalFit, optional
        The fit behind it, for further intervals. Not part of the document's equality.
    """

    n_holes: int
    method: str
    size_kind: str
    holes: tuple[HoleInterval, ...]
    good: int
    bad: int
    unsure: int
    inside_lower: float
    confidence: float = 0.95
    inside: float | None = None
    below: float | None = None
    above: float | None = None
    mean: float | None = None
    sd: float | None = None
    mean_interval: tuple[float, float] | None = None
    sd_interval: tuple[float, float] | None = None
    contradictions: tuple[Reason, ...] = ()
    limits_of_knowledge: tuple[Reason, ...] = ()
    inside_counted: float | None = None
    inside_fitted: float | None = None
    inside_interval: tuple[float, float] | None = None
    remarks: tuple[Reason, ...] = ()
    with_forecast: WithForecast | None = None
    fit: IntervalFit | None = field(default=None, compare=False, repr=False)

    @property
    def bound_is_fitted(self) -> bool:
        """Whether `inside_lower` is that of the fitted distribution, and not the counted one."""
        return self.inside_fitted is not None and self.inside_lower == self.inside_fitted
