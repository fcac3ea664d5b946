"""GO and NO-GO: the 10 % rule, and what the drawer can prove."""

import pytest

from holewright.callout.callout import Limits
from holewright.errors import OutOfRangeError
from holewright.gauging.limit_pins import choose_pins, ideal_pins
from holewright.shop.pin import Pin, Sense
from holewright.uncertainty import Known, Tag
from holewright.units import Unit

INCH = 25.4


def inch(lower, upper):
    return Limits(lower * INCH, upper * INCH)


def pin(size, sense, grade="ZZ", calibrated=None):
    known = None if calibrated is None else Known(calibrated * INCH, Tag.MEASURED, "cert", 1e-4)
    name = f".{round(size * 10000):04d} {sense.value}"
    return Pin(name, size * INCH, sense, grade, known)


@pytest.mark.parametrize(
    ("limits", "grade", "each"),
    [
        pytest.param(inch(0.250, 0.254), "ZZ", 0.0002, id=".250 +.004/-0: ZZ"),
        # Z = .00012 in this row, over the .0001 allowed: a strict rule gives Y.
        pytest.param(inch(0.999, 1.001), "Y", 0.00009, id="1.000 +-.001: Y, by its row"),
        pytest.param(inch(0.2500, 0.2505), "XX", 0.00002, id=".2500 +.0005/-0: XX"),
        pytest.param(inch(0.2500, 0.2502), "XXX", 0.00001, id=".0002 in all: XXX"),
    ],
)
def test_the_10_percent_rule_gives_the_worked_cases_of_the_handbook(limits, grade, each):
    ideal = ideal_pins(limits)
    assert ideal.grade == grade
    assert ideal.tolerance / INCH == pytest.approx(each)
    assert (ideal.go, ideal.no_go) == (limits.lower, limits.upper)
    assert not ideal.reasons


def test_a_hole_too_tight_for_any_class_says_so():
    ideal = ideal_pins(inch(0.2500, 0.2501))
    assert ideal.grade == ""
    assert "no class is that fine" in ideal.reasons[0].text
    assert "20 %" in ideal.reasons[0].text  # two XXX pins of .00001 in .0001


def test_limits_the_wrong_way_round_are_refused():
    with pytest.raises(OutOfRangeError, match="lower limit"):
        ideal_pins(Limits(8.015, 8.0))


def test_a_minus_pin_at_the_lower_limit_is_not_a_valid_go():
    drawer = [pin(0.2500, Sense.MINUS), pin(0.2505, Sense.MINUS)]
    choice = choose_pins(inch(0.2500, 0.2505), drawer, unit=Unit.INCH)
    assert choice.go is None
    assert choice.no_go is drawer[1]
    texts = " ".join(r.text for r in choice.reasons)
    assert "Pin .2500 minus (minus ZZ) may be .2498 in" in texts
    assert "Not a valid GO" in texts
    assert "Get a plus pin marked .2500 in" in texts
    assert choice.grade == "XX"


def test_the_next_minus_pin_up_is_a_valid_go_that_costs_tolerance():
    drawer = [pin(0.2500 + i * 0.0001, Sense.MINUS) for i in range(6)]
    choice = choose_pins(inch(0.2500, 0.2505), drawer)
    assert choice.go.id == ".2502 minus"  # .2500 at its smallest
    assert choice.no_go.id == ".2505 minus"
    costs = {r.code: r for r in choice.reasons}
    assert costs["go-costs-tolerance"].value / INCH == pytest.approx(0.0002)
    assert "40 % of it" in costs["go-costs-tolerance"].text


def test_a_plus_go_and_a_minus_no_go_of_the_right_class_need_no_comment():
    drawer = [pin(0.2500, Sense.PLUS, "XX"), pin(0.2505, Sense.MINUS, "XX")]
    choice = choose_pins(inch(0.2500, 0.2505), drawer)
    assert (choice.go, choice.no_go) == tuple(drawer)
    assert choice.reasons == ()


def test_calibration_makes_a_minus_pin_valid_where_it_is_large_enough():
    good, small = 0.25001, 0.24995
    assert choose_pins(inch(0.25, 0.2505), [pin(0.25, Sense.MINUS, "ZZ", good)]).go is not None
    choice = choose_pins(inch(0.25, 0.2505), [pin(0.25, Sense.MINUS, "ZZ", small)])
    assert choice.go is None
    assert any("calibrated at" in r.text for r in choice.reasons)


def test_a_plus_pin_at_the_upper_limit_is_not_a_valid_no_go():
    choice = choose_pins(inch(0.25, 0.2505), [pin(0.2505, Sense.PLUS)], unit=Unit.INCH)
    assert choice.no_go is None
    assert any(r.code == "not-a-valid-no-go" and ".2507 in" in r.text for r in choice.reasons)


def test_of_two_valid_pins_the_one_that_refuses_fewer_good_holes_is_chosen():
    drawer = [pin(0.2500, Sense.PLUS, "ZZ"), pin(0.2500, Sense.PLUS, "X")]
    assert choose_pins(inch(0.2500, 0.2505), drawer).go.grade == "X"


def test_an_empty_drawer_says_what_to_get():
    choice = choose_pins(Limits(8.0, 8.015), [])
    assert choice.go is None
    assert choice.no_go is None
    assert (choice.ideal_go, choice.ideal_no_go) == (8.0, 8.015)
    assert [r.code for r in choice.reasons] == ["missing-go", "missing-no-go"]
