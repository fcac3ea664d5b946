"""Which check comes next at the gauge: begun holes first, by the pins that prove a limit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holewright.callout.notation import read_callout
from holewright.gauging.reading import Reading
from holewright.jobs.job import Job
from holewright.jobs.next_question import hole_names, next_question, said_of, standing
from holewright.shop.generic import generic_shop
from holewright.shop.materials import find_material
from holewright.shop.pin import BoreGauge, InstrumentKind, Pin, Sense
from holewright.uncertainty import Known, Tag

ROOM = generic_shop()


def known(size):
    return Pin(f"{size:.3f}", size, Sense.PLUS, "", Known(size, Tag.MEASURED, "cert", 1e-4))


# GO 8.001 and NO-GO 8.014 prove the limits of 8 H7; 7.999 and 8.016 prove a hole outside.
PINS = tuple(known(s) for s in (7.999, 8.001, 8.005, 8.010, 8.014, 8.016))
BORE = BoreGauge("three-point", InstrumentKind.THREE_POINT, Known(0.0005, Tag.STANDARD), 0.0005)


def job(pins=PINS, gauges=()):
    machine = ROOM.machines[0]
    return Job(
        name="dowel holes",
        callout=read_callout("8 H7 x 22 through"),
        material=find_material("16MnCr5"),
        shop=replace(ROOM, pins=pins, bore_gauges=gauges),
        machine=machine,
        coolant=machine.coolants[0],
        parts=10,
        holes=((0.0, 0.0), (60.0, 0.0)),
    )


def asked(readings, names=("1-1", "1-2", "2-1"), of=None, **options):
    question = next_question(of or job(), readings, names, **options)
    return None if question is None else (question.hole, question.gauge, question.use)


def goes(hole, gauge):
    return Reading(hole, gauge, goes=True)


def stops(hole, gauge):
    return Reading(hole, gauge, goes=False)


GOOD = [goes("1-1", "8.001"), stops("1-1", "8.014")]


def test_holes_are_named_part_by_part():
    assert hole_names(job(), 5) == ("1-1", "1-2", "2-1", "2-2", "3-1")


def test_the_first_check_is_the_go_of_the_first_hole():
    assert asked([]) == ("1-1", "8.001", "GO")


def test_a_hole_that_was_begun_is_settled_before_the_next():
    assert asked([goes("1-1", "8.001")]) == ("1-1", "8.014", "NO-GO")
    assert asked([stops("1-1", "8.014")]) == ("1-1", "8.001", "GO")


def test_a_new_hole_begins_with_the_pin_that_tells_most_and_either_answer_settles_a_side():
    hole, gauge, use = asked(GOOD)
    assert hole == "1-2"
    assert use == ""
    assert gauge in {"8.001", "8.005", "8.010", "8.014"}
    assert asked([*GOOD, goes("1-2", "8.005")]) == ("1-2", "8.014", "NO-GO")
    assert asked([*GOOD, stops("1-2", "8.005")]) == ("1-2", "8.001", "GO")


def test_after_a_failed_go_the_pin_is_asked_that_shows_the_hole_too_small():
    readings = [stops("1-1", "8.001")]
    assert asked(readings) == ("1-1", "7.999", "")
    readings.append(stops("1-1", "7.999"))
    assert said_of(job(), readings, "1-1") == "Hole 1-1: shown outside."
    assert asked(readings)[0] == "1-2"


def test_after_a_no_go_that_went_the_pin_is_asked_that_shows_the_hole_too_large():
    readings = [goes("1-1", "8.001"), goes("1-1", "8.014")]
    assert asked(readings) == ("1-1", "8.016", "")


def test_a_hole_between_the_pins_is_read_off_where_there_is_a_bore_gauge():
    readings = [stops("1-1", "8.001"), goes("1-1", "7.999")]
    assert asked(readings)[0] == "1-2"
    assert asked(readings, of=job(gauges=(BORE,))) == ("1-1", "three-point", "size")


def test_without_pins_that_prove_a_limit_the_size_is_read_off():
    assert asked([], of=job(pins=(), gauges=(BORE,))) == ("1-1", "three-point", "size")
    assert asked([], of=job(pins=())) is None


def test_what_was_skipped_is_not_asked_again():
    assert asked([], skipped={("1-1", "8.001")}) == ("1-1", "8.014", "NO-GO")
    both = {("1-1", "8.001"), ("1-1", "8.014")}
    assert asked([], skipped=both)[0] == "1-2"


def test_somebody_may_go_on_with_another_hole():
    assert asked([], first="9-9") == ("9-9", "8.001", "GO")
    assert asked([goes("1-1", "8.001")], first="1-2")[0] == "1-2"


def test_when_all_holes_are_settled_nothing_is_asked():
    assert asked(GOOD, names=("1-1",)) is None


def test_readings_that_contradict_are_said_and_not_asked_on():
    readings = [goes("1-1", "8.010"), stops("1-1", "8.005")]
    assert "Both can't be true" in said_of(job(), readings, "1-1")
    assert asked(readings)[0] == "1-2"
    assert "Gauge again where readings contradict" in standing(job(), readings).text


def test_the_standing_says_holes_share_and_what_would_help_on_one_line():
    assert standing(job(), []).text == "No hole checked yet; 99 % asked for, 95 % sure."
    stands = standing(job(), GOOD)
    assert (stands.checked, stands.good, stands.bad, stands.unsure) == (1, 1, 0, 0)
    assert stands.inside_lower == pytest.approx(0.05)
    # 299 good holes show 99 % at 95 %: 298 more.
    assert stands.text.startswith("1 hole: 1 inside, 0 outside, 0 open; at least 5.0 % shown")
    assert "298 more, all good, would show it" in stands.text
    assert "\n" not in stands.text


def test_enough_is_enough():
    readings = [reading for i in range(299) for reading in (
        goes(f"h{i}", "8.001"), stops(f"h{i}", "8.014"))]  # fmt: skip
    stands = standing(job(), readings)
    assert stands.enough
    assert "That is enough" in stands.text
