"""Make limits of reamers: inch prints, very tight holes, bad limits. Values: tests/validation."""

from __future__ import annotations

from decimal import Decimal
from math import nextafter

import pytest

from holewright.callout.callout import Limits
from holewright.callout.limits import hole_limits
from holewright.callout.notation import read_callout
from holewright.errors import OutOfRangeError
from holewright.sizing.make_limits import make_band_reason, reamer_make_limits
from holewright.units import Unit, mm_from


def inch(lower: str, upper: str) -> Limits:
    return Limits(mm_from(Decimal(lower), Unit.INCH), mm_from(Decimal(upper), Unit.INCH))


@pytest.mark.parametrize(
    ("hole", "reamer"),
    [
        # T .0005: .2505 - .000075 -> .2504; .000175 -> .0002
        pytest.param(("0.2500", "0.2505"), ("0.2502", "0.2504"), id="half a thou"),
        # T .0010: .5010 - .00015 = .50085; .00035
        pytest.param(("0.5000", "0.5010"), ("0.5005", "0.50085"), id="one thou"),
        # T .0002: .2502 - .00003 -> .25015; .00007 -> .0001
        pytest.param(("0.2500", "0.2502"), ("0.25005", "0.25015"), id="two tenths"),
    ],
)
def test_an_inch_reamer_is_rounded_to_half_tenths(hole, reamer):
    assert reamer_make_limits(inch(*hole), unit=Unit.INCH) == inch(*reamer)


def test_limits_with_the_dust_of_floats_give_the_same_reamer():
    clean = hole_limits(10, "H7")
    for dusty in (nextafter(10.015, 0), nextafter(10.015, 20)):
        assert reamer_make_limits(Limits(10.0, dusty)) == reamer_make_limits(clean)


def test_an_h7_hole_has_a_make_band_and_no_caution():
    for nominal in (2, 5, 10, 25, 80):
        assert make_band_reason(hole_limits(nominal, "H7")) is None


def test_a_band_under_3_micrometres_is_ordered_to_measured_size():
    reason = make_band_reason(hole_limits(10, "H5"))  # 0.35 x 6 = 2.1 µm
    assert reason is not None
    assert reason.code == "make-band-narrow"
    assert reason.value == pytest.approx(0.0021)
    assert "order the reamer to measured size" in reason.text


def test_the_caution_on_an_inch_print_speaks_in_tenths():
    callout = read_callout(".2500 +.0002/-0")
    reason = make_band_reason(callout.limits, callout.unit)
    assert reason is not None
    assert "0.7 tenths (.00007 in)" in reason.text


def test_where_the_rule_leaves_the_hole_it_says_so_but_gives_what_it_gives():
    hole = Limits(10.0, 10.001)
    assert reamer_make_limits(hole) == Limits(9.999, 10.0)
    reason = make_band_reason(hole)
    assert reason is not None
    assert reason.code == "make-band-outside-limits"


@pytest.mark.parametrize(
    "limits",
    [Limits(10.0, 10.0), Limits(10.1, 10.0), Limits(0.0, 0.1), Limits(float("nan"), 10.0)],
)
def test_limits_that_are_none_are_refused(limits):
    with pytest.raises(OutOfRangeError, match="lower limit"):
        reamer_make_limits(limits)
    with pytest.raises(OutOfRangeError, match="lower limit"):
        make_band_reason(limits)
