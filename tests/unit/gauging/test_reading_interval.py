"""What one hole's readings prove together."""

import math

import pytest

from holewright.errors import InputError, Where
from holewright.gauging.reading import Reading
from holewright.gauging.reading_interval import hole_sizes
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag

INCH = 25.4
PINS = tuple(Pin(f".{s}", s / 1e4 * INCH, Sense.MINUS, "ZZ") for s in (2495, 2500, 2505, 2510))
GAUGE = BoreGauge("two-point", InstrumentKind.TWO_POINT, Known(0.001, Tag.MEASURED), 0.0005)
SHOP = Shop("bench", (), (), (), (), PINS, (GAUGE,))


def read(*readings, **how):
    return hole_sizes(readings, SHOP, material_alpha=11.5e-6, **how)


def row(line):
    return Where("readings.csv", line)


def test_goes_and_does_not_go_prove_the_worst_of_each_pin():
    (hole,), reasons = read(Reading("1", ".2500", goes=True), Reading("1", ".2505", goes=False))
    # A minus pin that goes may be .0002 under its mark; one that stops may be at its mark.
    assert [hole.lower / INCH, hole.upper / INCH] == pytest.approx([0.2498, 0.2505])
    assert reasons == ()


def test_one_pin_bounds_one_side_only():
    (hole,), _ = read(Reading("1", ".2505", goes=False))
    assert hole.lower == -math.inf
    assert hole.upper / INCH == pytest.approx(0.2505)


def test_more_pins_narrow_it_and_their_order_does_not_matter():
    readings = [
        Reading("1", ".2495", goes=True),
        Reading("1", ".2510", goes=False),
        Reading("1", ".2500", goes=True),
        Reading("1", ".2505", goes=False),
    ]
    (forward,), _ = read(*readings)
    (backward,), _ = read(*readings[::-1])
    assert (forward.lower, forward.upper) == (backward.lower, backward.upper)
    assert [forward.lower / INCH, forward.upper / INCH] == pytest.approx([0.2498, 0.2505])


def test_a_clearance_moves_both_bounds_by_itself():
    readings = [Reading("1", ".2500", goes=True), Reading("1", ".2505", goes=False)]
    (tight,), _ = read(*readings)
    (loose,), _ = read(*readings, clearance=0.0001 * INCH)
    assert loose.lower - tight.lower == pytest.approx(0.0001 * INCH)
    assert loose.upper - tight.upper == pytest.approx(0.0001 * INCH)


def test_a_contradiction_names_hole_pins_and_rows_and_drops_nothing():
    (hole,), (reason,) = read(
        Reading("A7", ".2500", goes=False, where=row(12)),
        Reading("A7", ".2510", goes=True, where=row(15)),
    )
    assert hole.contradicts
    assert reason.code == "readings-contradict"
    for part in ("A7", ".2500", ".2510", "readings.csv, line 12", "readings.csv, line 15"):
        assert part in reason.text
    # Both readings are still there.
    assert len(hole.goes) + len(hole.stops) == 2


def test_pins_that_overlap_within_their_class_do_not_contradict():
    # .2500 stops (it may be .2500), a .2501 minus may be .2499 and go.
    pins = (*PINS, Pin(".2501", 0.2501 * INCH, Sense.MINUS, "ZZ"))
    shop = Shop("bench", (), (), (), (), pins)
    (hole,), reasons = hole_sizes(
        [Reading("1", ".2500", goes=False), Reading("1", ".2501", goes=True)],
        shop,
        material_alpha=11.5e-6,
    )
    assert not hole.contradicts
    assert reasons == ()


def test_the_same_pin_both_ways_is_said_even_though_its_class_allows_it():
    _, (reason,) = read(
        Reading("1", ".2500", goes=True, where=row(2)),
        Reading("1", ".2500", goes=False, where=row(3)),
    )
    assert reason.code == "same-pin-both-ways"
    assert "line 2" in reason.text
    assert "line 3" in reason.text


def test_a_pin_that_goes_part_way_proves_no_lower_bound_and_hints_at_form():
    (hole,), (reason,) = read(
        Reading("1", ".2500", goes=True, depth=5.0), Reading("1", ".2500", goes=False)
    )
    assert hole.lower == -math.inf
    assert hole.upper / INCH == pytest.approx(0.2500)
    assert reason.code == "goes-part-way"
    assert "bell-mouthed" in reason.text


def test_a_bore_gauge_value_and_a_pin_that_disagree_may_be_a_lobed_hole():
    # Reads .2505 on two points, and a .2500 pin stops: odd lobes do that.
    _, (reason,) = read(
        Reading("1", "two-point", size=0.2505 * INCH), Reading("1", ".2500", goes=False)
    )
    assert reason.code == "readings-contradict"
    assert "lobed" in reason.text


def test_repeats_of_one_bore_gauge_do_not_make_it_better():
    (once,), _ = read(Reading("1", "two-point", size=6.355))
    (thrice,), _ = read(*[Reading("1", "two-point", size=6.354 + i * 0.001) for i in range(3)])
    assert thrice.value.best == pytest.approx(6.355)
    assert thrice.value.u == once.value.u


def test_sizes_that_differ_with_depth_are_form_and_not_an_average():
    (hole,), (reason,) = read(
        Reading("1", "two-point", size=6.370, depth=1.0),
        Reading("1", "two-point", size=6.352, depth=12.0),
    )
    assert hole.value is None
    assert not hole.contradicts
    # Both ends are in: 1.645 times u = .001 and a display of .0005 either way.
    guard = 1.644854 * math.hypot(0.001, 0.0005 / math.sqrt(12))
    assert [hole.lower, hole.upper] == pytest.approx([6.352 - guard, 6.370 + guard])
    assert reason.code == "size-varies-with-depth"
    assert "bell-mouthed" in reason.text


def test_sizes_at_one_depth_that_differ_beyond_the_gauge_contradict():
    (hole,), (reason,) = read(
        Reading("1", "two-point", size=6.370), Reading("1", "two-point", size=6.352)
    )
    assert hole.contradicts
    assert reason.code == "readings-contradict"


@pytest.mark.parametrize(
    ("reading", "message"),
    [
        (Reading("1", ".9999", goes=True, where=row(4)), "line 4: gauge = .9999: .* a pin"),
        (Reading("1", "two-point", goes=True), "must be the id of a pin"),
        (Reading("1", ".2500", size=6.35), "must be the id of a bore gauge"),
        (Reading("1", "two-point", size=0.0, where=row(7)), "line 7: size = 0.0: must be more"),
    ],
)
def test_an_unknown_gauge_is_refused_with_its_row(reading, message):
    with pytest.raises(InputError, match=message):
        read(reading)
