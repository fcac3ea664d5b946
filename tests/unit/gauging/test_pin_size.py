"""What a marked pin really is, and as a hole at 20 °C."""

import math

import pytest

from holewright.errors import InputError
from holewright.gauging.pin_size import TrueSize, as_hole_at_20, gauge_reading_size, pin_size
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.uncertainty import Known, Tag

INCH = 25.4


def test_a_zz_minus_pin_marked_250_may_be_2498():
    size = pin_size(Pin(".2500", 0.25 * INCH, Sense.MINUS, "ZZ"))
    assert size.smallest() / INCH == pytest.approx(0.2498)
    assert size.largest() / INCH == pytest.approx(0.2500)
    # Uniform: standard uncertainty .0002/√12 = .0000577 in (JCGM 100, 4.3.7).
    assert size.u / INCH == pytest.approx(0.0000577, abs=1e-7)


def test_a_zz_plus_pin_lies_on_the_other_side():
    size = pin_size(Pin(".2500", 0.25 * INCH, Sense.PLUS, "ZZ"))
    assert [size.smallest() / INCH, size.largest() / INCH] == pytest.approx([0.2500, 0.2502])


def test_a_calibrated_pin_is_its_certificate_whatever_its_class():
    known = Known(6.3487, Tag.MEASURED, "certificate", u=0.0001)
    size = pin_size(Pin(".2500", 6.35, Sense.MINUS, "ZZ", known))
    assert size.best == 6.3487
    assert size.smallest() == pytest.approx(6.3487 - 1.644854 * 0.0001, abs=1e-9)


def test_wear_makes_a_pin_smaller_at_worst_and_never_larger():
    new, worn = (pin_size(Pin("8.00", 8.0, Sense.PLUS, "X", wear=wear)) for wear in (0.0, 0.0006))
    assert worn.smallest() == pytest.approx(new.smallest() - 0.0006, abs=1e-12)
    assert worn.largest() == pytest.approx(new.largest(), abs=1e-12)
    known = Known(8.0, Tag.MEASURED, "certificate", u=0.0)
    calibrated = pin_size(Pin("8.00", 8.0, Sense.PLUS, "", known, wear=0.0006))
    assert [calibrated.smallest(), calibrated.largest()] == pytest.approx([7.9994, 8.0])


def test_a_pin_without_class_and_certificate_is_refused():
    with pytest.raises(InputError, match="class of pin odd = none"):
        pin_size(Pin("odd", 6.0, Sense.PLUS, ""))


def test_a_warm_aluminium_part_looks_575_tenmillionths_larger():
    # By hand, to first order: .5 x (23e-6 x 6 - 11.5e-6 x 2) = .0000575 in.
    pin = TrueSize(12.7, 0.0)
    hole = as_hole_at_20(pin, part_c=26, gauge_c=22, part_alpha=23e-6, gauge_alpha=11.5e-6)
    # The second order is 8e-9 in.
    assert (pin.best - hole.best) / INCH == pytest.approx(0.0000575, abs=1e-8)


def test_a_cold_bore_that_reads_well_is_at_its_limit():
    # 32 H7 (0/+25 µm) in aluminium from a 5 °C store, gauge at 20 °C, reads +14 µm: true
    # about +25.3, shrunk by 11.3 (alpha 23.6e-6: 32 x 23.6e-6 x 15 = 11.3 µm).
    read = TrueSize(32.014, 0.0)
    hole = as_hole_at_20(read, part_c=5, gauge_c=20, part_alpha=23.6e-6, gauge_alpha=11.5e-6)
    assert hole.best == pytest.approx(32.0253, abs=1e-4)
    # And a correction isn't free: 1 °C on each and 5 % of alpha.
    by_hand = 32 * math.hypot(23.6e-6 * 1, 11.5e-6 * 1, 15 * 0.05 * 23.6e-6)
    assert hole.u == pytest.approx(by_hand, rel=1e-3)


def test_at_20_degrees_nothing_is_corrected_and_nothing_added():
    pin = TrueSize(8.0, 0.001)
    same = as_hole_at_20(pin, part_c=20, gauge_c=20, part_alpha=23e-6, gauge_alpha=11.5e-6)
    assert same == pin


def test_an_alpha_with_its_own_uncertainty_is_taken_at_its_word():
    pin = TrueSize(100.0, 0.0)
    alpha = Known(23e-6, Tag.STANDARD, "handbook", u=2e-6)
    sure = as_hole_at_20(
        pin, part_c=30, gauge_c=20, part_alpha=alpha, gauge_alpha=11.5e-6, u_temperature=0
    )
    assert sure.u == pytest.approx(100 * 10 * 2e-6, rel=1e-3)


def test_temperature_below_notice_does_not_move_a_bound():
    size = TrueSize(8.0, 0.001, 0.0, 0.0001)
    assert size.smallest(negligible=0.001) == 7.999
    assert size.smallest() == pytest.approx(7.999 - 1.644854 * 0.0001)


def test_a_bore_gauge_is_no_better_than_its_display():
    gauge = BoreGauge("b", InstrumentKind.TWO_POINT, Known(0.0, Tag.MEASURED), 0.001)
    assert gauge_reading_size(gauge, 8.0).u == pytest.approx(0.001 / math.sqrt(12))
