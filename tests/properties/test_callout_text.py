"""What must hold for any callout and any text."""

from __future__ import annotations

import string
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from holewright.callout.callout import Callout, HoleKind, Limits
from holewright.callout.limits import (
    GRADES,
    LETTERS,
    grade_for,
    hole_deviations,
    hole_limits,
    it_width,
)
from holewright.callout.notation import read_callout, write_callout
from holewright.errors import AmbiguousError, InputError
from holewright.sizing.make_limits import reamer_make_limits
from holewright.units import Unit, mm_from

units = st.sampled_from(list(Unit))
nominals = st.decimals("0.05", "500", places=4)
classes = st.builds(str.__add__, st.sampled_from(LETTERS), st.sampled_from(GRADES))


@st.composite
def endings(draw: st.DrawFn, unit: Unit) -> dict[str, object]:
    """Kind, depth and floor, as a drawing in a unit gives them; a depth may be in the other."""
    lengths = st.decimals("0.01", "20", places=3)
    depth = draw(st.none() | lengths)
    depth_unit = draw(st.sampled_from([unit, unit, *Unit]))
    depth_mm = None if depth is None else mm_from(depth, depth_unit)
    kind = draw(st.sampled_from(list(HoleKind)))
    floor = None
    if kind is HoleKind.BLIND and draw(st.booleans()):
        floor = (depth_mm or 0) + mm_from(draw(lengths), unit)
    return {
        "kind": kind,
        "depth": depth_mm,
        "floor": floor,
        "envelope": draw(st.booleans()),
        "unit": unit,
    }


@st.composite
def toleranced(draw: st.DrawFn) -> Callout:
    """A hole with deviations, as drawings have them."""
    unit = draw(units)
    places = draw(st.integers(3, 5))
    step = Decimal(1).scaleb(-places)
    nominal = draw(st.decimals("0.06", "19", places=places))
    widest = int(nominal / 2 / step)
    width = draw(st.integers(10 if unit is Unit.MM else 1, max(10, min(widest, 500))))
    lower = draw(st.integers(-min(width, widest // 2), min(20, max(0, widest - width))))
    limits = Limits(
        mm_from(nominal + lower * step, unit), mm_from(nominal + (lower + width) * step, unit)
    )
    rest = draw(endings(unit))
    return Callout("", mm_from(nominal, unit), limits, **rest)  # type: ignore[arg-type]


@st.composite
def fitted(draw: st.DrawFn) -> Callout:
    """A hole with a class of ISO 286, now and then on an inch print."""
    unit = draw(units)
    number = draw(st.decimals("0.1", "19" if unit is Unit.INCH else "500", places=4))
    nominal = mm_from(number, unit)
    fit = draw(classes)
    try:
        limits = hole_limits(nominal, fit)
    except InputError:
        fit, limits = "H7", hole_limits(nominal, "H7")
    rest = draw(endings(unit))
    return Callout("", nominal, limits, fit=fit, **rest)  # type: ignore[arg-type]


def meaning(callout: Callout) -> Callout:
    return replace(callout, text="", unit_reason="", notes=())


@given(toleranced() | fitted())
def test_a_written_callout_reads_back_to_the_same_callout(callout):
    assert meaning(read_callout(write_callout(callout))) == callout


@given(
    nominal=st.floats(0.1, 499),
    low=st.floats(-0.02, 0.02),
    width=st.floats(0.0002, 0.02),
    unit=units,
)
def test_limits_that_no_drawing_has_read_back_to_the_last_bit_too(nominal, low, width, unit):
    callout = Callout("", nominal, Limits(nominal + low, nominal + low + width), unit)
    assert meaning(read_callout(write_callout(callout))) == callout


@given(toleranced() | fitted())
def test_writing_again_changes_nothing(callout):
    text = write_callout(callout)
    assert write_callout(read_callout(text)) == text


@given(nominal=nominals, tolerance_class=classes)
def test_a_hole_class_is_as_wide_as_its_grade_or_is_refused_with_what_is_defined(
    nominal, tolerance_class
):
    try:
        ei, es = hole_deviations(nominal, tolerance_class)
    except InputError:
        with pytest.raises(InputError, match="not defined by ISO 286-1 for a nominal size of"):
            hole_deviations(nominal, tolerance_class)
        return
    assert es - ei == it_width(tolerance_class.lstrip(string.ascii_letters), nominal)


@given(nominal=nominals, grade=st.sampled_from(GRADES[:15]))
def test_a_hole_h_starts_at_its_nominal_and_js_lies_around_it(nominal, grade):
    assert hole_deviations(nominal, f"H{grade}")[0] == 0
    ei, es = hole_deviations(nominal, f"JS{grade}")
    assert ei == -es


@given(nominal=st.decimals("1.001", "500", places=3))
def test_a_coarser_grade_is_wider_and_so_is_a_larger_hole(nominal):
    widths = [it_width(grade, nominal) for grade in GRADES]
    assert widths == sorted(set(widths))
    assert all(it_width(grade, nominal) <= it_width(grade, 500) for grade in GRADES)


@given(nominal=st.decimals("24.5", "500", places=2))
def test_the_letters_from_a_to_zc_move_the_hole_from_large_to_small(nominal):
    order = [letter for letter in LETTERS if letter not in {"CD", "EF", "FG", "JS", "J"}]
    middles = [sum(hole_deviations(nominal, f"{letter}7")) for letter in order]
    assert middles == sorted(middles, reverse=True)


@given(width=st.floats(1e-5, 10), nominal=st.floats(0.01, 500))
def test_a_wider_tolerance_never_has_a_finer_grade(width, nominal):
    grade = grade_for(width, nominal)
    assert -1 <= grade <= 18
    assert grade_for(width * 1.01, nominal) >= grade


@given(toleranced())
def test_a_reamer_keeps_its_share_below_the_upper_limit(callout):
    limits = callout.limits
    made = reamer_make_limits(limits, callout.unit)
    step = 0.001 if callout.unit is Unit.MM else 0.00127
    assert made.lower < made.upper
    # 1e-9: the limits themselves are floats.
    assert -1e-9 <= limits.upper - 0.15 * limits.width - made.upper < step + 1e-9
    assert -1e-9 <= made.width - 0.35 * limits.width < step + 1e-9


callout_like = st.lists(
    st.sampled_from(
        [
            *("Ø", "⌀", "dia ", "4x ", "10", "8", ".2500", "0.25", "1/4", "1 1/4", "6,00", "½"),
            *(" ", " ", "H7", "h7", "X7", "JS6", " H 7", "H07", "/g6", "(+0.015/0)", "+", "-"),
            *("±", "+/-", "/", ".0005", "0", "5", "0,015", "five", "nothing", "plus", "minus"),
            *(" x ", "x", "22", " deep", " DP", " through", " blind", " floor ", " mm", " in", '"'),
            *(" tenths", " µm", "(E)", "Ⓔ", "↧", ",", ";", "...", "to", "(", ")", "=", "E", "1e9"),
        ]
    ),
    max_size=14,
).map("".join)


def answer(text: str) -> Callout | InputError:
    """Return what a text is read as, or how it is refused; anything else breaks the test."""
    try:
        return read_callout(text)
    except InputError as error:
        return error


@given(st.text(max_size=60) | callout_like)
@example("\ud800")
@example("10 H7 x " + "9" * 23)
@example("٣ H7")
@example("0/2 ±.1")
@example("1/4-1/4-1/4")
def test_any_text_is_read_asked_about_or_refused_but_never_breaks(text):
    found = answer(text)
    if isinstance(found, InputError):
        assert found.field
        assert found.accepted
        assert not isinstance(found, AmbiguousError) or found.readings
    else:
        assert 0 < found.limits.lower < found.limits.upper
        assert meaning(read_callout(write_callout(found))) == meaning(found)


@given(callout_like)
@example("10 h7")
@example("1 plus five")
@example("0.25 ±0.01 x 20")
def test_every_reading_offered_can_be_typed_without_being_asked_again(text):
    asked = answer(text)
    for reading in getattr(asked, "readings", ()):
        found = answer(reading)
        if "class of a shaft" in str(asked):  # only the letter was corrected
            assert "class of a shaft" not in str(found)
        else:
            assert isinstance(found, Callout)
