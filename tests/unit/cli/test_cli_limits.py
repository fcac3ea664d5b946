"""``holewright limits``."""

from __future__ import annotations

import pytest


def test_given_8_h7_it_says_the_limits_the_reamer_and_the_pins(holewright):
    document = holewright("limits", "8 H7 x 22 through", "--json").document
    assert document["document"] == "limits"
    assert document["version"] == 1
    # ISO 286-1: 8 H7 is 0/+15 µm. ISO 522: 8.015 - 0.15 x 15 = 8.01275 -> 8.012, less 35 % of
    # 15 rounded up to 6 µm -> 8.006.
    assert document["nominal_mm"] == 8.0
    assert (document["lower_mm"], document["upper_mm"]) == (8.0, 8.015)
    assert document["reamer"] == {"lower_mm": 8.006, "upper_mm": 8.012, "reason": None}
    # 10 % rule: 5 % of 15 µm is 0.75 µm; class XX of ASME B89.1.5 is 0.51 µm, X 1.02 µm.
    assert document["pins"]["go"]["size_mm"] == 8.0
    assert document["pins"]["go"]["grade"] == document["pins"]["no_go"]["grade"] == "XX"
    assert document["pins"]["no_go"]["size_mm"] == 8.015
    assert document["depth_mm"] == 22.0


def test_the_page_shows_limits_first_and_both_units(holewright):
    page = holewright("limits", "8 H7 x 22 through").out
    assert page.splitlines()[0].startswith("8.000 to 8.015 mm")
    assert "(.31497 to .31555 in, rounded into the zone)" in page


def test_an_inch_callout_is_shown_in_inches_first(holewright):
    answer = holewright("limits", ".2500 +.0005/-.0000")
    assert answer.code == 0
    assert answer.out.splitlines()[0].startswith(".2500 to .2505 in")
    assert "(6.350 to 6.3627 mm)" in answer.out


def test_the_size_of_a_warm_hole_is_said_for_steel_and_for_the_material(holewright):
    # Ø.5000 in aluminium at 95 F = 35 °C: 12.7 mm x 23.6e-6 x 15 = 4.5 µm = 1.77 tenths.
    document = holewright(
        "limits", ".5000 +.0005/-0", "--temperature", "95 F", "--material", "6061-T6", "--json"
    ).document
    steel, aluminium = document["warmth"]["growths"]
    assert document["warmth"]["part_c"] == pytest.approx(35.0)
    assert steel["material"] == "steel"
    assert aluminium["growth_mm"] == pytest.approx(12.7 * aluminium["alpha_1_k"] * 15)
    assert aluminium["growth_mm"] / 25.4 * 1e4 == pytest.approx(1.8, abs=0.1)


def test_a_cold_hole_is_said_to_be_smaller(holewright):
    page = holewright("limits", "32 H7", "--temperature", "5 C").out
    assert "smaller than at 20 °C" in " ".join(page.split())


def test_the_drawing_standard_changes_what_size_means(holewright):
    asme = holewright("limits", ".2500 +.0005/-0", "--standard", "asme")
    iso = holewright("limits", ".2500 +.0005/-0", "--standard", "iso")
    silent = holewright("limits", ".2500 +.0005/-0")
    assert "perfect form" in asme.out
    assert "two-point sizes" in iso.out
    assert "--standard" in silent.out


def test_a_shaft_class_on_a_hole_is_asked_about(holewright):
    answer = holewright("limits", "10 h7")
    assert answer.code == 2
    assert answer.out == ""
    assert "10 H7" in answer.err
    assert "Traceback" not in answer.err


def test_a_bare_size_is_asked_for_its_unit_and_taken_with_it(holewright):
    asked = holewright("limits", "6 +.01/-0", "--json")
    assert asked.code == 2
    assert asked.document["document"] == "error"
    assert len(asked.document["readings"]) >= 2
    for reading in asked.document["readings"]:
        assert holewright("limits", reading).code == 0
    told = holewright("limits", "6 +.01/-0", "--unit", "mm", "--json")
    assert told.document["upper_mm"] == 6.01


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("8 H7", "--standard", "japan"), "iso or asme"),
        (("8 H7", "--temperature", "warm"), "22 C or 95 F"),
        (("8 H7", "--material", "cheese"), "cheese"),
        (("",), "callout"),
        (("8 H7", "--columns", "20"), "60"),
        (("8 H7", "--unit", "furlong"), "furlong"),
    ],
)
def test_bad_input_ends_with_2_and_one_clear_message(holewright, arguments, said):
    answer = holewright("limits", *arguments)
    assert answer.code == 2
    assert said in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize("columns", [60, 80, 110])
@pytest.mark.parametrize("callout", ["8 H7 x 22 through", ".3125 +.0005/-0 x .70 blind"])
def test_no_line_is_longer_than_the_page(holewright, columns, callout):
    page = holewright("limits", callout, "--columns", columns).out
    assert max(len(line) for line in page.splitlines()) <= columns


def test_a_plain_page_is_ascii(holewright):
    assert holewright("limits", "8 H7", "--plain").out.isascii()
