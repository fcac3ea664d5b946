"""Study the feel of a hand: how much larger a hole must be for a pin to be said to go."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from holewright.gauging.feel import fit_feel
from holewright.jobs.answer import Answer, Curve, Figure
from holewright.jobs.studyfile import Tries
from holewright.units import Unit, format_small

_Z95 = 1.959964


def study_feel(study: Tries, *, tolerance: float | None = None, unit: Unit | None = None) -> Answer:
    """Return the clearance at which a pin goes, and how sharply that is felt.

    Parameters
    ----------
    study : Tries
        Tries of known pins in known holes.
    tolerance : float, optional
        Width of the tolerance that the pins are for. [mm]
    unit : Unit, optional
        Unit that sentences say first; by default that of the file.

    Raises
    ------
    NoAnswerError
        If each size always had the same answer, or larger holes were not said to go more
        often.
    """
    unit = unit or study.unit
    found = fit_feel(study.difference, study.goes, study.tries)
    b0, b1 = found.intercept, found.slope
    slope = np.array([-1 / b1, b0 / b1**2])
    se = math.sqrt(float(slope @ found.covariance @ slope))
    se_sd = math.sqrt(float(found.covariance[1, 1])) / b1**2
    c = (found.clearance - _Z95 * se, found.clearance + _Z95 * se)
    s = (max(0.0, found.sd - _Z95 * se_sd), found.sd + _Z95 * se_sd)
    clearance, sd = format_small(found.clearance, unit, signed=True), format_small(found.sd, unit)
    away = format_small(abs(found.clearance), unit)
    larger = f"{away} {'smaller' if found.clearance < 0 else 'larger'} than the pin"
    cells = len(set(study.difference))
    freedom = cells - 2
    sentences = [
        f"A pin is said to go every second time where the hole is {larger}"
        f"{', by a forcing hand' if found.clearance < 0 else ''}; the judgement spreads by {sd} "
        f"(one standard deviation).",
        f'For the job file: [gauging] clearance = "{max(found.clearance, 0) * 1000:.2g} µm" and '
        f'feel = "{found.sd * 1000:.2g} µm".',
    ]
    if tolerance is not None:
        sentences.append(
            f"The clearance is {100 * abs(found.clearance) / tolerance:.3g} % of the tolerance, "
            f"the feel {100 * found.sd / tolerance:.3g} %."
        )
    points = [(x * 1000, float(found.goes(x))) for x in _spread(study.difference)]
    return Answer(
        "feel",
        f"goes at {clearance}, felt to {sd}",
        f"{sum(study.tries)} tries at {cells} differences",
        tuple(sentences),
        (
            _with_interval(
                "clearance", "hole less pin, going every second time", found.clearance, c, unit
            ),
            _with_interval("feel", "standard deviation of the judgement", found.sd, s, unit),
            Figure("intercept", "intercept of the probit line", f"{b0:.6f}", b0),
            Figure("slope", "its slope, per mm", f"{b1:.4f}", b1, "1/mm"),
            Figure("loglik", "log likelihood", f"{found.loglik:.6f}", found.loglik),
            Figure(
                "deviance",
                f"deviance, {freedom} degrees of freedom",
                f"{found.deviance:.6f}",
                found.deviance,
            ),
        ),
        "Probit regression by maximum likelihood; intervals at 95 % from the information, good for "
        "some hundred tries. Tries count as independent: the hand must not know the sizes.",
        curve=Curve(
            "hole less pin, µm",
            "chance that the pin is said to go",
            tuple(points),
            ((found.clearance * 1000, 0.5, f"{clearance}: every second time"),),
            "number",
        ),
    )


def _with_interval(
    name: str, words: str, value: float, interval: tuple[float, float], unit: Unit
) -> Figure:
    """Return a small length with its interval."""
    said, low, high = (format_small(v, unit, signed=interval[0] < 0) for v in (value, *interval))
    return Figure(name, words, f"{said} ({low} to {high})", value, "mm", interval)


def _spread(difference: Sequence[float]) -> list[float]:
    return [float(x) for x in np.linspace(min(difference), max(difference), 61)]
