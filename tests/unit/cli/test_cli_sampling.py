"""``holewright sampling``: samples, plans and factors, against published and recomputed values.

Values without another source are from the handbook tables of this project, recomputed there with
exact arithmetic: hypergeometric bounds, plans of ISO 2859-1 and MIL-STD-105E, MIL-STD-414.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

DATA = Path(__file__).parents[2] / "data"


def numbers(answer):
    return {number["name"]: number["value"] for number in answer.document["numbers"]}


def test_six_of_125_checked_all_good_means_little(holewright):
    page = holewright("sampling", "lot", 125, 6)
    assert page.code == 0
    assert page.out.startswith("AT MOST 48 OF 125 OUTSIDE")
    said = " ".join(page.out.split())
    assert "among the 119 that nobody checked" in said
    found = numbers(holewright("sampling", "lot", 125, 6, "--json"))
    assert found["outside-upper"] == 48
    # No bad hole in 6: the process may have 1 - 0.05 ** (1 / 6) outside.
    assert found["process-outside-upper"] == pytest.approx(1 - 0.05 ** (1 / 6), rel=1e-12)


def test_four_holes_on_six_parts_are_six_parts(holewright):
    answer = holewright("sampling", "lot", 125, 6, "--each", 4, "--json")
    assert numbers(answer)["holes-outside-upper"] == 48 * 4
    assert "24 holes on 6 parts count as 6" in " ".join(answer.document["sentences"])


ZERO_PLANS = list(csv.DictReader((DATA / "c0-plans.csv").read_text("utf-8").splitlines()))


@pytest.mark.parametrize("row", ZERO_PLANS[::7], ids=lambda row: f"{row['N']}-{row['LTPD']}")
def test_plans_with_no_fault_are_those_of_the_table(holewright, row):
    """Sizes of c = 0 plans for a process, by share and confidence (tests/data/c0-plans.csv)."""
    inside, sure = 1 - float(row["LTPD"]), 1 - float(row["beta"])
    asked = ("--inside", f"{inside:.6g}", "--confidence", f"{sure:.6g}", "--bad", 0, "--json")
    found = numbers(holewright("sampling", "need", *asked))
    assert found["checked-with-0-bad"] == int(row["n_binomial"])


def test_to_show_99_percent_takes_299_holes_or_97_of_a_lot_of_125(holewright):
    assert holewright("sampling", "need", "--json").document["headline"] == "check 299, all good"
    # k1 of 30 sizes for 99 % at 95 %, ISO 16269-6.
    assert numbers(holewright("sampling", "need", "--lot", 125, "--json")) == pytest.approx(
        {"checked-with-0-bad": 97, "checked-with-1-bad": 122, "k-of-30-sizes": 3.063901}, rel=1e-6
    )


@pytest.mark.parametrize(
    ("good", "poor", "n", "c"), [("1 %", "6 %", 110, 3), ("1%", "5%", 132, 3), ("2%", "8%", 98, 4)]
)
def test_two_point_plans(holewright, good, poor, n, c):
    found = numbers(holewright("sampling", "plan", "--good", good, "--poor", poor, "--json"))
    assert (found["n"], found["c"]) == (n, c)


def test_a_plan_by_measured_sizes_needs_fewer(holewright):
    found = numbers(holewright("sampling", "plan", "--good", "1%", "--poor", "8%", "--json"))
    assert found["n-measured"] == 28
    assert found["k"] == pytest.approx(1.825178, abs=1e-6)
    assert found["n-measured"] < found["n"]


def test_the_oc_curve_of_52_3_is_that_of_the_e_handbook(holewright):
    """NIST/SEMATECH e-Handbook, 6.2.3.2: n = 52, c = 3, Pa from 1 % to 12 % outside."""
    document = holewright("sampling", "curve", 52, 3, "--json").document
    printed = [0.998, 0.980, 0.930, 0.845, 0.739, 0.620, 0.502, 0.394, 0.300, 0.223, 0.162, 0.115]
    x, y = zip(*document["curve"]["points"], strict=True)
    for percent, expected in enumerate(printed, start=1):
        nearest = min(range(len(x) - 1), key=lambda i: abs(x[i] - percent / 100))
        i = nearest if x[nearest] <= percent / 100 else nearest - 1
        share = (percent / 100 - x[i]) / (x[i + 1] - x[i])
        assert y[i] + share * (y[i + 1] - y[i]) == pytest.approx(expected, abs=0.0015)


def test_what_a_standard_plan_still_lets_through_is_said(holewright):
    answer = holewright("sampling", "standard", 1000, 1.0, "--json")
    found = numbers(answer)
    assert (found["n"], found["c"]) == (80, 2)  # letter J
    assert found["passes-10"] == pytest.approx(0.0651597, abs=1e-7)
    said = " ".join(answer.document["sentences"])
    assert "6.5 % outside one in ten still passes" in said
    assert "not its AQL" in said


def test_the_arrow_of_the_table_is_named(holewright):
    page = " ".join(holewright("sampling", "standard", 250, 1.0).out.split())
    assert "letter G, whose arrow points to H" in page


def test_a_sample_as_large_as_the_lot_is_the_lot(holewright):
    assert holewright("sampling", "standard", 10, 1.0).out.startswith("CHECK ALL 10")


def test_tolerance_factors_are_those_of_iso_16269_6(holewright):
    """ISO 16269-6 factors at 95 %: n = 30, k1 2.219838, k2 2.554893 for 95 %."""
    found = numbers(holewright("sampling", "factors", 30, "--json"))
    assert found["k-one-sided"] == pytest.approx(2.219838, abs=1e-6)
    assert found["k-two-sided"] == pytest.approx(2.554893, abs=1e-6)


def test_factors_give_the_interval_of_given_sizes_in_their_unit(holewright):
    answer = holewright(
        "sampling", "factors", 43, "--share", "90 %", "--confidence", "99 %",
        "--mean", "97.07 mm", "--sd", "0.0268 mm", "--json",
    )  # fmt: skip
    (interval,) = [n for n in answer.document["numbers"] if n["name"] == "interval"]
    # NIST/SEMATECH e-Handbook, 7.2.6.3, with the exact factor 2.2228252 for Howe's 2.217.
    assert interval["interval"] == pytest.approx([97.07 - 2.2228252 * 0.0268, 97.07 + 0.0595717])
    assert "97.0104 to 97.1296 mm" in interval["said"]


@pytest.mark.parametrize(("k", "code", "word"), [(1.53, 0, "ACCEPT"), (1.60, 1, "DO NOT ACCEPT")])
def test_the_k_method_judges_the_example_of_mil_std_414(holewright, k, code, word):
    """MIL-STD-414, example B-1 (from memory): 197 188 184 205 201, U = 209, Q = 1.590293."""
    answer = holewright(
        "sampling", "k", 5, k, "--mean", "195 mm", "--sd", "8.803408 mm", "--upper", "209 mm"
    )
    assert answer.code == code
    assert answer.out.startswith(word)
    assert "1.5903" in answer.out


def test_a_curve_goes_to_a_file_that_is_not_overwritten(holewright, tmp_path):
    file = tmp_path / "oc.svg"
    assert holewright("sampling", "curve", 80, 2, "--plot", file).code == 0
    assert file.read_text("utf-8").startswith("<svg")
    again = holewright("sampling", "curve", 80, 2, "--plot", file)
    assert again.code == 2
    assert "--force" in again.err


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("lot", 5, 6), "at most the lot of 5"),
        (("lot", 125, 6, "--bad", 7), "bad = 7"),
        (("need", "--inside", "101 %"), "option --inside"),
        (("need", "--inside", "most"), "inside = most"),
        (("plan", "--good", "5%", "--poor", "1%"), "below poor"),
        (("curve", 5, 5), "c = 5"),
        (("standard", 250, 1.1), "aql = 1.1"),
        (("standard", 250, 1.0, "--level", "IV"), "I, II or III"),
        (("factors", 30, "--mean", "8 mm"), "sd = not given"),
        (("factors", 30, "--mean", "8", "--sd", "1 µm"), "has no unit"),
        (("k", 5, 1.53, "--mean", "8 mm", "--sd", "1 µm"), "limits = none given"),
    ],
)
def test_what_cannot_be_is_refused_by_name(holewright, asked, said):
    answer = holewright("sampling", *asked)
    assert answer.code == 2
    assert said in answer.err
    assert answer.out == ""


def test_an_error_is_a_document_too(holewright):
    answer = holewright("sampling", "lot", 5, 6, "--json")
    assert answer.code == 2
    assert json.loads(answer.out)["field"] == "checked"
