"""Pins chosen by what they let through and refuse, against JCGM 106 global risks.

A pin whose true size is normal about a limit decides as a measurement with that uncertainty
does: so the risks of `conformity.json` (computed by two-dimensional integration) are those of
two calibrated pins.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.pin_risk import choose_by_risk, go_risk, no_go_risk
from holewright.gauging.pin_size import TrueSize
from holewright.shop.pin import Pin, Sense
from holewright.uncertainty import Known, Tag

DATA = Path(__file__).parents[2] / "data" / "conformity.json"
CASES = json.loads(DATA.read_text("utf-8"))["global_risk"]


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["case"])
def test_two_calibrated_pins_have_the_global_risks_of_a_measurement(case):
    limits = Limits(case["TL"], case["TU"])
    process = case["y0"], case["u0"]
    low = go_risk(TrueSize(case["AL"], 0.0, case["um"]), limits, *process)
    high = no_go_risk(TrueSize(case["AU"], 0.0, case["um"]), limits, *process)
    assert low.passes_bad + high.passes_bad == pytest.approx(case["RC"], rel=1e-7)
    assert low.refuses_good + high.refuses_good == pytest.approx(case["RP"], rel=1e-7)


@pytest.mark.parametrize("u", [0.0, 0.0008])
def test_a_class_tolerance_is_averaged_over_its_rectangle(u):
    limits, mean, sd = Limits(8.0, 8.015), 8.004, 0.003
    size = TrueSize(8.001, 0.0025, u)
    rng = np.random.default_rng(5)
    pins = size.best + rng.uniform(-1, 1, 400_000) * size.half_width + rng.normal(0, 1, 400_000) * u
    holes = rng.normal(mean, sd, 400_000)
    risk = go_risk(size, limits, mean, sd)
    passed = ((holes < 8.0) & (holes > pins)).mean()
    refused = ((holes >= 8.0) & (holes <= 8.015) & (holes <= pins)).mean()
    # Four standard errors of a share near .05 in 400,000 are .0014.
    assert risk.passes_bad == pytest.approx(passed, abs=0.0014)
    assert risk.refuses_good == pytest.approx(refused, abs=0.0014)


def test_an_exact_pin_at_the_limit_makes_no_mistake():
    risk = go_risk(TrueSize(8.0, 0.0), Limits(8.0, 8.015), 8.004, 0.003)
    assert (risk.passes_bad, risk.refuses_good) == (0.0, 0.0)


def test_an_exact_pin_off_the_limit_does_the_sum_by_hand():
    phi = stats.norm(8.004, 0.003).cdf
    low = go_risk(TrueSize(7.999, 0.0), Limits(8.0, 8.015), 8.004, 0.003)
    assert low.passes_bad == pytest.approx(phi(8.0) - phi(7.999))
    high = no_go_risk(TrueSize(8.013, 0.0), Limits(8.0, 8.015), 8.004, 0.003)
    assert high.refuses_good == pytest.approx(phi(8.015) - phi(8.013))
    assert high.passes_bad == 0


def test_where_the_process_is_far_from_a_limit_a_plain_pin_is_as_good():
    # Holes near the top: the minus ZZ at the lower limit passes next to nothing bad there.
    minus = Pin("8.000 minus", 8.0, Sense.MINUS, "ZZ")
    plus = Pin("8.000 plus", 8.0, Sense.PLUS, "ZZ")
    far = choose_by_risk(Limits(8.0, 8.015), [minus, plus], 8.0105, 0.002)
    assert far.lower.passes_bad < 1e-7
    near = choose_by_risk(Limits(8.0, 8.015), [minus, plus], 8.001, 0.002)
    assert near.go is plus  # here a bad hole passed would cost twenty refused


def test_what_a_bad_hole_costs_decides_between_the_pins():
    minus = Pin("8.000 minus", 8.0, Sense.MINUS, "ZZ")
    plus = Pin("8.000 plus", 8.0, Sense.PLUS, "ZZ")
    cheap = choose_by_risk(Limits(8.0, 8.015), [minus, plus], 8.002, 0.002, bad_costs=0.1)
    assert cheap.go is minus


def test_calibrating_a_pin_never_costs_more_on_the_whole():
    limits = Limits(8.0, 8.015)
    rough = Pin("a", 8.0, Sense.PLUS, "ZZ")
    known = Pin("b", 8.0, Sense.PLUS, "", Known(8.0001, Tag.MEASURED, "certificate", u=1e-4))
    chosen = choose_by_risk(limits, [rough, known], 8.003, 0.002)
    assert chosen.go is known


def test_an_empty_drawer_passes_everything():
    choice = choose_by_risk(Limits(8.0, 8.015), [], 8.004, 0.003)
    assert (choice.go, choice.no_go) == (None, None)
    assert choice.lower.passes_bad == pytest.approx(stats.norm.cdf(8.0, 8.004, 0.003))
    assert choice.cost > 0


def test_a_process_without_scatter_is_refused():
    with pytest.raises(OutOfRangeError, match="sd = 0"):
        choose_by_risk(Limits(8.0, 8.015), [], 8.0, 0.0)
