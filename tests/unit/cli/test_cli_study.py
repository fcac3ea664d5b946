"""``holewright study``: gauge studies from CSV files, against published data and known values."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

DATA = Path(__file__).parents[2] / "data"
GRR = json.loads((DATA / "grr.json").read_text("utf-8"))["grr_10x3x3"]


@pytest.fixture
def study(holewright, tmp_path):
    """Study a text as a CSV file."""

    def run(text, *options):
        file = tmp_path / "study.csv"
        file.write_text(text, encoding="utf-8")
        return holewright("study", file, *options)

    return run


def numbers(answer):
    return {number["name"]: number["value"] for number in answer.document["numbers"]}


@pytest.fixture(scope="module")
def ten_parts():
    """Return the readings of 10 parts x 3 people x 3, a published data set; values as mm."""
    text = (DATA / "grr-10x3x3.csv").read_text("utf-8")
    return text.replace("part,operator,trial,value", "part,operator,trial,size")


def test_repeatability_agrees_with_the_published_study(study, ten_parts):
    """The 10 x 3 x 3 data set, recomputed apart with statsmodels (tests/data/grr.json)."""
    found = numbers(study(ten_parts, "--unit", "mm", "--tolerance", "5 mm", "--json"))
    assert found["sd-repeatability"] ** 2 == pytest.approx(0.0399733, rel=1e-5)
    assert found["sd-reproducibility"] ** 2 == pytest.approx(0.0514553, rel=1e-5)
    assert found["share-of-study"] == pytest.approx(0.27861, abs=1e-5)
    assert found["categories"] == pytest.approx(4.8605, abs=1e-4)
    assert found["ranges-sd-gauge"] == pytest.approx(0.305766, rel=1e-4)
    assert found["share-of-tolerance"] == pytest.approx(6 * 0.0914285**0.5 / 5, rel=1e-5)


def test_two_methods_that_disagree_are_both_said(study, ten_parts):
    page = " ".join(study(ten_parts, "--unit", "mm").out.split())
    assert "It tells 4 sizes of part apart" in page
    assert "By averages and ranges the same readings give 5" in page
    assert "give --tolerance" in page


def test_feel_is_the_probit_of_the_tries(study):
    """Go curve of 10 sizes x 20 tries in tenths, computed apart with statsmodels."""
    sizes = (-3, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2.5)
    goes = (0, 1, 2, 5, 8, 12, 15, 18, 19, 20)
    rows = [f"{d} tenths,{g},20" for d, g in zip(sizes, goes, strict=True)]
    answer = study("\n".join(["difference,goes,tries", *rows]), "--json")
    found = numbers(answer)
    tenth = 0.00254
    assert found["clearance"] / tenth == pytest.approx(-0.25, abs=1e-6)
    assert found["feel"] / tenth == pytest.approx(1.01777, abs=1e-5)
    assert found["loglik"] == pytest.approx(-11.311531, abs=1e-6)
    assert found["deviance"] == pytest.approx(0.449095, abs=1e-6)
    assert "forcing hand" in answer.document["sentences"][0]


def test_one_try_a_row_is_the_same_as_tries_counted(study):
    tries = [("8.000 mm", "8.002 mm", "does not go"), ("8.004 mm", "8.002 mm", "goes")]
    mixed = [*tries * 3, ("8.002 mm", "8.002 mm", "goes"), ("8.002 mm", "8.002 mm", "does not go"),
             ("8.001 mm", "8.002 mm", "goes")]  # fmt: skip
    one = numbers(study("\n".join(["hole,pin,result", *(",".join(t) for t in mixed)]), "--json"))
    counted = ["-2 µm,0,3", "2 µm,3,3", "0 µm,1,2", "-1 µm,1,1"]
    all_of = numbers(study("\n".join(["difference,goes,tries", *counted]), "--json"))
    assert one["clearance"] == pytest.approx(all_of["clearance"], rel=1e-6)
    assert one["feel"] == pytest.approx(all_of["feel"], rel=1e-6)


def test_kappa_of_two_people_is_cohens(study):
    """[[44, 6], [3, 97]]: kappa 0.862944, se 0.044198 (computed apart with statsmodels)."""
    rows = ["part,operator,answer"]
    part = 0
    for a, b, count in (("bad", "bad", 44), ("bad", "good", 6), ("good", "bad", 3),
                        ("good", "good", 97)):  # fmt: skip
        for _ in range(count):
            part += 1
            rows += [f"{part},Ann,{a}", f"{part},Ben,{b}"]
    document = study("\n".join(rows), "--json").document
    (cohen,) = [n for n in document["numbers"] if n["name"] == "kappa-Ann-Ben"]
    assert cohen["value"] == pytest.approx(0.862944, abs=1e-6)
    assert cohen["interval"] == pytest.approx(
        [0.862944 - 1.959964 * 0.044198, 0.862944 + 1.959964 * 0.044198], abs=2e-6
    )


def test_against_the_truth_a_miss_is_a_bad_part_called_good(study):
    rows = ["part,operator,answer,truth"]
    rows += [f"b{i},Ann,{'good' if i < 2 else 'bad'},bad" for i in range(40)]
    rows += [f"g{i},Ann,{'bad' if i < 3 else 'good'},good" for i in range(60)]
    answer = study("\n".join(rows), "--json")
    found = numbers(answer)
    assert found["misses-Ann"] == pytest.approx(2 / 40)
    assert found["false-alarms-Ann"] == pytest.approx(3 / 60)
    assert answer.document["headline"] == "5.0 % of bad parts called good"
    # scipy.stats.binomtest(2, 40).proportion_ci(0.90).high
    from scipy.stats import binomtest

    upper = binomtest(2, 40).proportion_ci(0.90).high
    (misses,) = [n for n in answer.document["numbers"] if n["name"] == "misses-Ann"]
    assert misses["interval"][1] == pytest.approx(upper, rel=1e-9)


def test_nearly_all_good_parts_are_warned_of(study):
    rows = ["part,operator,answer"]
    for i in range(60):
        rows += [f"{i},Ann,{'bad' if i < 2 else 'good'}", f"{i},Ben,{'bad' if i == 0 else 'good'}"]
    assert "kappa collapses" in " ".join(study("\n".join(rows)).out.split())


def test_bias_and_its_change_over_the_range(study):
    rows = ["master,size,unit"]
    for master, off in ((6.0, 0.0), (10.0, 0.002)):
        rows += [
            f"{master},{master + off + noise:.4f},mm" for noise in (-0.001, 0, 0.001, 0, 0.0005)
        ]
    answer = study("\n".join(rows), "--tolerance", "15 µm", "--json")
    said = " ".join(answer.document["sentences"])
    assert "At 6.000 mm" in said
    assert "shows no bias" in said
    assert "reads too large" in said
    assert "that it changes is shown" in said
    assert numbers(answer)["slope"] == pytest.approx(0.002 / 4, rel=1e-9)


def test_the_feel_curve_can_be_drawn(study, tmp_path):
    text = "difference,goes,tries\n-2 µm,1,10\n0 µm,5,10\n2 µm,9,10\n"
    file = tmp_path / "feel.svg"
    assert study(text, "--plot", file).code == 0
    assert "every second time" in file.read_text("utf-8")
    refused = study("master,size,unit\n6,6.001,mm\n6,6.002,mm\n", "--plot", tmp_path / "b.svg")
    assert refused.code == 2
    assert "curve" in refused.err


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("", 2, "must not be empty"),
        ("part,operator,size\n", 2, "must have a row"),
        ("part,colour\n1,red\n", 2, "column = colour"),
        ("part,operator\n1,A\n", 2, "must be those of a study"),
        ("part,operator,size\n1,A,8.01\n", 2, "line 2, column size: size = 8.01: has no unit"),
        ("part,operator,size,unit\n1,A,8.01,mm\n,A,8.01,mm\n", 2, "line 3, column part"),
        ("part,operator,size,unit\n1,A,8.01,mm\n1,A,big,mm\n", 2, "line 3, column size"),
        ("part,operator,size,answer\n1,A,8 mm,good\n", 2, "column = size: is not one of a study"),
        ("part,operator,answer\n1,A,perhaps\n", 2, "answer = perhaps: must be good or bad"),
        ("part,operator,answer\n1,A,good\n1,B,good\n2,A,bad\n", 2, "part 2, operator B"),
        ("part,operator,answer,truth\n1,A,good,good\n2,A,bad,\n", 2, "line 3, column truth"),
        ("part,operator,size,unit\n1,A,8,mm\n1,A,8.1,mm\n2,A,8,mm\n", 2, "part 2, operator A"),
        ("difference,goes,tries\n1 µm,5,4\n", 2, "must not be more than the 4 tries"),
        ("difference,goes\n1 µm,5\n", 2, "tries = not given"),
        ("difference,hole,goes,tries\n1 µm,8 mm,5,6\n", 2, "says the same as difference"),
        ("difference,goes,tries\n-1 µm,0,5\n1 µm,5,5\n", 1, "sharper than the sizes"),
        ("master,size\n6 mm,6.001 mm\n6 mm,6.001 mm\n", 1, "too few digits"),
    ],
)
def test_what_cannot_be_used_is_named_with_its_place(study, text, code, said):
    answer = study(text)
    assert answer.code == code
    assert said in answer.err
    assert answer.out == ""
