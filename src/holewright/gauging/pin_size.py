"""True size of a marked pin, and what it is as a hole at 20 °C.

Marked size is not size. A class ZZ minus pin marked .2500 may be .2498: if it goes, the hole is
over .2498, and no more is proved.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import ndtri

from holewright.errors import InputError
from holewright.shop.pin import BoreGauge, Pin, Sense
from holewright.shop.pins import class_tolerance
from holewright.uncertainty import Known

U_TEMPERATURE = 1.0
"""Standard uncertainty of a temperature taken in the shop. Common practice, no source. [°C]"""

RELATIVE_U_ALPHA = 0.05
"""Standard uncertainty of a tabled expansion coefficient. From memory: tables differ so. [-]"""

REFERENCE_C = 20.0
"""Reference temperature of sizes: ISO 1. [°C]"""


@dataclass(frozen=True)
class TrueSize:
    """A size that isn't known exactly.

    Parameters
    ----------
    best : float
        Best estimate. [mm]
    half_width : float
        Half the range that a class tolerance leaves, all of it as likely; 0 if calibrated. [mm]
    u_gauge : float
        Standard uncertainty of the gauge where it is normal: calibration, repeatability. [mm]
    u_temperature : float
        Standard uncertainty from temperatures and expansions. [mm]
    """

    best: float
    half_width: float
    u_gauge: float = 0.0
    u_temperature: float = 0.0

    @property
    def u(self) -> float:
        """Combined standard uncertainty (JCGM 100, 4.3.7 for the rectangular part). [mm]"""
        return math.hypot(self.half_width / math.sqrt(3), self.u_gauge, self.u_temperature)

    def guard(self, confidence: float = 0.95, negligible: float = 0.0) -> float:
        """Return how far the true size may lie from `best`, one-sided. [mm]

        All of a class tolerance, and for the normal part the quantile at `confidence`
        (ISO 14253-1 rounds it to 1.65 at 95 %). What temperature adds to it is left out
        where it is below `negligible`.
        """
        z = float(ndtri(confidence))
        full = z * math.hypot(self.u_gauge, self.u_temperature)
        cold = z * self.u_gauge
        return self.half_width + (cold if full - cold <= negligible else full)

    def smallest(self, confidence: float = 0.95, negligible: float = 0.0) -> float:
        """Return the size it isn't below, at this one-sided confidence. [mm]"""
        return self.best - self.guard(confidence, negligible)

    def largest(self, confidence: float = 0.95, negligible: float = 0.0) -> float:
        """Return the size it isn't above, at this one-sided confidence. [mm]"""
        return self.best + self.guard(confidence, negligible)


def pin_size(pin: Pin) -> TrueSize:
    """Return the true size of a pin at 20 °C.

    Parameters
    ----------
    pin : Pin
        The pin: marked size with class and sense, or calibrated.

    Returns
    -------
    TrueSize
        Calibrated: its size and uncertainty. Otherwise all of the class tolerance on the
        side of its sense, every size there as likely. What it may have worn adds to the
        lower side, every size there as likely too.

    Raises
    ------
    InputError
        If a pin that isn't calibrated has no class.

    References
    ----------
    .. [1] ASME B89.1.5, gauge-maker tolerances: one-sided, plus or minus, on the marked size.
    """
    worn = pin.wear / 2
    if pin.calibrated is not None:
        return TrueSize(pin.calibrated.value - worn, worn, pin.calibrated.u)
    if not pin.grade:
        raise InputError(
            f"class of pin {pin.id}", "none", "must be XX, X, Y, Z or ZZ, or the pin be calibrated"
        )
    half = float(class_tolerance(pin.grade, pin.marked)) / 2
    middle = pin.marked + (half if pin.sense is Sense.PLUS else -half)
    return TrueSize(middle - worn, half + worn)


def gauge_reading_size(gauge: BoreGauge, size: float) -> TrueSize:
    """Return what a bore gauge's reading says of the size, before temperature.

    Parameters
    ----------
    gauge : BoreGauge
        The instrument, with the standard uncertainty of a reading.
    size : float
        The size read off. [mm]

    Returns
    -------
    TrueSize
        The reading with its uncertainty, the step of the display included as a rectangle of
        that width (JCGM 100, F.2.2.1).
    """
    return TrueSize(size, 0.0, math.hypot(gauge.u.value, gauge.resolution / math.sqrt(12)))


def as_hole_at_20(
    gauge: TrueSize,
    *,
    part_c: float,
    gauge_c: float,
    part_alpha: Known | float,
    gauge_alpha: Known | float,
    u_temperature: float = U_TEMPERATURE,
) -> TrueSize:
    r"""Return the hole at 20 °C that a gauge fits when part and gauge have these temperatures.

    .. math:: D_{20} = P_{20} \frac{1 + \alpha_g (t_g - 20)}{1 + \alpha_p (t_p - 20)}

    Parameters
    ----------
    gauge : TrueSize
        Pin at 20 °C, or reading of a bore gauge that is right at 20 °C. [mm]
    part_c, gauge_c : float
        Temperatures of part and gauge. [°C]
    part_alpha, gauge_alpha : Known or float
        Their expansion; without an uncertainty, 5 % is taken. [1/K]
    u_temperature : float
        Standard uncertainty of each temperature, 0 or more. [°C]

    Returns
    -------
    TrueSize
        The size as a hole at 20 °C, the uncertainty of temperatures and expansions added.

    Notes
    -----
    Valid where part and gauge each have one temperature throughout. Uncertainties are of
    first order. Where both are given as 20 °C no correction is made and no uncertainty
    added: that is what gauging at the reference temperature means. The two temperatures are
    taken as independent, which is cautious for a part and a pin that lay side by side.

    References
    ----------
    .. [1] ISO 1: reference temperature 20 °C. JCGM 100:2008, H.1.3: the same correction.

    Examples
    --------
    A .5000 in steel pin at 22 °C just fits an aluminium part at 26 °C. At 20 °C the hole is
    .0000575 in smaller than the pin: warm, it looked that much larger.

    >>> pin = TrueSize(12.7, 0.0)
    >>> hole = as_hole_at_20(pin, part_c=26, gauge_c=22, part_alpha=23e-6, gauge_alpha=11.5e-6)
    >>> round((hole.best - pin.best) / 25.4, 7)
    -5.75e-05
    """
    alpha_p, u_alpha_p = _alpha(part_alpha)
    alpha_g, u_alpha_g = _alpha(gauge_alpha)
    theta_p, theta_g = part_c - REFERENCE_C, gauge_c - REFERENCE_C
    factor = (1 + alpha_g * theta_g) / (1 + alpha_p * theta_p)
    if theta_p == 0 and theta_g == 0:
        return gauge
    u_relative = math.hypot(
        alpha_p * u_temperature, theta_p * u_alpha_p, alpha_g * u_temperature, theta_g * u_alpha_g
    )
    return TrueSize(
        gauge.best * factor,
        gauge.half_width * factor,
        gauge.u_gauge * factor,
        gauge.best * u_relative,
    )


def _alpha(alpha: Known | float) -> tuple[float, float]:
    """Return expansion and its standard uncertainty."""
    value, u = (alpha.value, alpha.u) if isinstance(alpha, Known) else (alpha, 0.0)
    return value, u or RELATIVE_U_ALPHA * abs(value)
