"""The fit of readings too coarse to show a spread, helped by what is known of the spread."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from holewright.errors import NoAnswerError, OutOfRangeError
from holewright.gauging.density import climb_density, slopes
from holewright.gauging.hill import Hill
from holewright.gauging.interval_fit import IntervalFit, fit_at
from holewright.gauging.shared_pins import start_of_model
from holewright.gauging.size_model import SizeModel, density_of

_FLAT = 1e-6
"""Curvature, per hole, below which the top is no top: the fit climbs for ever. [-]"""


def fit_known_scatter(model: SizeModel, sd: float, factor: float = 2.0) -> IntervalFit:
    """Fit size with a prior on the scatter from hole to hole.

    Where all holes fall into two cells, the readings say how many lie on either side of a
    pin and nothing of the spread. With what is known of the spread, shares become sizes.

    Parameters
    ----------
    model : SizeModel
        The holes.
    sd : float
        Scatter that is expected: its median, more than 0. [mm]
    factor : float
        One standard deviation of ln sd as a factor, over 1. [-]

    Returns
    -------
    IntervalFit
        The fit; its likelihood counts the prior, and so do intervals drawn from it.

    Raises
    ------
    OutOfRangeError
        If `sd` isn't positive or `factor` not over 1.
    NoAnswerError
        If even so no finite fit exists: a cause parts the holes without exception, or no
        hole lies on the other side of any pin.
    """
    if not sd > 0:
        raise OutOfRangeError("sd", sd, "more than 0")
    if not factor > 1:
        raise OutOfRangeError("factor", factor, "over 1")
    rows = model.rows
    if np.isinf(rows.lower).all() or np.isinf(rows.upper).all():
        raise NoAnswerError("All holes lie on one side of all pins: their size can't be told.")
    density, scaling = density_of(model)
    density = replace(
        density,
        log_sd_mean=math.log(sd / scaling.scale),
        log_sd_weight=1 / math.log(factor) ** 2,
    )
    start = start_of_model(density, rows)
    # A step too far on the way may leave the numbers; the climb then takes a shorter one.
    with np.errstate(over="ignore", invalid="ignore"):
        psi, done = climb_density(density, start)
    _, hessian = slopes(density, psi)
    flat = np.linalg.eigvalsh(-hessian[: density.tau, : density.tau]).min() < _FLAT * rows.n
    if not done or flat:
        raise NoAnswerError(
            "A cause parts the holes without exception: all on one side of a pin at one level, "
            "all on the other side at another. By how much can't be told; take pins between."
        )
    return fit_at(Hill(density, scaling, psi), rows, model.causes, model.gauges)
