"""How far the hole may come out from its reamer: two hypotheses, said side by side."""

from __future__ import annotations

from holewright.sizing.forecast import Forecast
from holewright.sizing.hypotheses import Hypothesis, disagree, hypotheses
from holewright.units import Unit, format_small


def say_offset(forecast: Forecast, diameter: float, unit: Unit) -> tuple[str, ...]:
    """Return what two ways of expecting say of hole less reamer.

    Parameters
    ----------
    forecast : Forecast
        Forecast of the hole.
    diameter : float
        Nominal diameter. [mm]
    unit : Unit
        Unit shown.

    Returns
    -------
    tuple of str
        One sentence each, and how they stand to each other; empty where no reamer is used.
    """
    both = hypotheses(forecast, diameter)
    if both is None:
        return ()
    causes, standard = both
    return (
        f"By its causes, most of them judgement: {_range(causes, unit)} for 95 % of the holes, "
        f"{_signed(causes.offset, unit)} on the mean; "
        f"{100 * causes.forecast.inside:.0f} % inside.",
        f"By what reamers made to ISO 522 take for granted: {_range(standard, unit)}; "
        f"{100 * standard.forecast.inside:.0f} % inside.",
        _stand(causes, standard)
        + " A test hole settles it: measure hole and reamer, and enter the difference.",
    )


def _range(one: Hypothesis, unit: Unit) -> str:
    return f"{_signed(one.low, unit)} to {_signed(one.high, unit)}"


def _signed(mm: float, unit: Unit) -> str:
    """Return a difference; of a prior no more than tenths of a micrometre are worth saying."""
    return (
        f"{round(1000 * mm, 1):+g} µm" if unit is Unit.MM else format_small(mm, unit, signed=True)
    )


def _stand(causes: Hypothesis, standard: Hypothesis) -> str:
    if disagree(causes, standard):
        return "They contradict each other: one of them is wrong for this job."
    return "They don't contradict each other, but neither is a measurement."
