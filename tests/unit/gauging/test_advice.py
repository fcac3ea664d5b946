"""The next check, said to the machinist."""

import pytest

from holewright.callout.callout import Limits
from holewright.errors import NoAnswerError
from holewright.gauging.advice import advise
from holewright.gauging.reading import Reading
from holewright.shop.pin import Pin, Sense
from holewright.shop.shop import Shop
from holewright.uncertainty import Known, Tag

DOWEL = Limits(8.0, 8.015)


def known(size):
    return Pin(f"{size:.3f}", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "cert", u=1e-4))


PINS = tuple(known(s) for s in (8.000, 8.005, 8.010, 8.015))
SHOP = Shop("bench", (), (), (), (), PINS)


def said(readings, shop=SHOP):
    return advise(readings, shop, DOWEL, material_alpha=11.5e-6)


def test_a_hole_of_which_only_the_go_is_known_is_next_checked_at_the_upper_limit():
    advice = said([Reading("A1", "8.005", goes=True)])
    hole, check = advice.open_holes[0]
    assert (hole, check.pin) == ("A1", "8.015")
    assert "Next, try pin 8.015 in hole A1" in advice.text


def test_decided_holes_are_not_asked_for_again():
    readings = [
        reading
        for i in range(5)
        for reading in (
            Reading(f"A{i}", "8.005", goes=True),
            Reading(f"A{i}", "8.010", goes=False),
        )
    ]
    advice = said(readings)
    assert advice.open_holes == ()
    assert "in a hole not checked yet" in advice.text
    assert advice.new_hole[0].bits >= advice.new_hole[-1].bits


def test_doubtful_pins_and_many_holes_end_in_calibrate():
    rough = tuple(Pin(f"{s:.3f}", s, Sense.PLUS, "ZZ") for s in (8.000, 8.005, 8.010, 8.015))
    cells = [60, 520, 800, 560, 60]
    readings = []
    for cell, count in enumerate(cells):
        for i in range(count):
            for j, pin in enumerate(rough):
                readings.append(Reading(f"{cell}-{i}", pin.id, goes=cell > j))
    advice = said(readings, Shop("bench", (), (), (), (), rough))
    assert "the pin is the limit. Calibrate" in advice.help.text
    assert advice.help.text in advice.text


def test_without_readings_or_pins_it_says_what_to_do_first():
    with pytest.raises(NoAnswerError, match="start with the GO"):
        said([])
    far = Shop("bench", (), (), (), (), (*PINS, known(20.0)))
    with pytest.raises(NoAnswerError, match="near these limits"):
        advise([Reading("1", "20.000", goes=False)], far, Limits(30.0, 30.02), material_alpha=1e-5)
