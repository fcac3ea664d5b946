"""What a person asks of a test plate, and the file that comes back from the machine."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.errors import InputError
from holewright.jobs.cut_plate import cut_plate
from holewright.jobs.jobfile import read_job
from holewright.jobs.plate_file import plate_csv, read_plate_file
from holewright.jobs.plate_request import PlateRequest, allowed, read_factors, read_without
from holewright.plate.chip_form import ChipForm
from holewright.plate.designs import full_factorial
from holewright.plate.factors import Factor, FactorKind
from holewright.units import Unit

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
HEAD = "hole,cut,feed,gauge,result,size,unit,chips,ra\n"


@pytest.fixture(scope="module")
def job():
    return read_job(BRAKELUND / "job_a.toml")


@pytest.mark.parametrize(
    ("written", "kind", "levels"),
    [
        ("feed=70,85,100 %", FactorKind.FEED, (0.7, 0.85, 1.0)),
        ("feed 70 100 130", FactorKind.FEED, (0.7, 1.0, 1.3)),
        ("speed: 80 %, 120 %", FactorKind.SPEED, (0.8, 1.2)),
        ("stock=0.15, 0.25 mm", FactorKind.STOCK, (0.15, 0.25)),
        ("stock=.006, .010 in", FactorKind.STOCK, (0.1524, 0.254)),
        ("depth=12;22", FactorKind.DEPTH, (12.0, 22.0)),
        ("holder=hydraulic 12; collet 32", FactorKind.HOLDER, ("hydraulic 12", "collet 32")),
        ("reamer=R 8-1;R 8-C", FactorKind.REAMER, ("R 8-1", "R 8-C")),
        ("coolant=soluble 8 %, flood;MQL", FactorKind.COOLANT, ("soluble 8 %, flood", "MQL")),
    ],
)
def test_factors_are_read_as_people_write_them(job, written, kind, levels):
    (factor,) = read_factors([written], job)
    assert factor.kind is kind
    assert factor.levels == pytest.approx(levels) if factor.is_number else levels


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (["fed=70,100"], "fed: is not a factor; did you mean feed?"),
        (["feed=0.7,1.3"], "must be in % of what is planned"),
        (["feed=100"], "two or more"),
        (["feed"], "must be such as"),
        (["holder=collet 32;chuck 7"], "chuck 7: is not in the tool room"),
        (["feed=70,100", "feed=80,120"], "must be named once"),
        (["speed=fast,slow"], "must be a number"),
    ],
)
def test_factors_that_make_no_sense_are_refused_with_what_would_do(job, written, said):
    with pytest.raises(InputError, match=said):
        read_factors(written, job)


def test_levels_that_must_not_meet_are_left_out(job):
    factors = read_factors(["feed=70,130", "speed=80,120"], job)
    without = read_without(["feed=130 & speed=120"], factors, job.unit)
    left = allowed(full_factorial(factors), factors, without)
    assert left == ((0.7, 0.8), (0.7, 1.2), (1.3, 0.8))
    with pytest.raises(InputError, match="must name levels that are varied: feed 70 %, feed 130 %"):
        read_without(["feed=100"], factors, job.unit)
    with pytest.raises(InputError, match="must name factors that are varied"):
        read_without(["stock=0.2"], factors, job.unit)


def test_the_file_to_fill_in_reads_back_as_the_plate(job, tmp_path):
    stock = Factor(FactorKind.STOCK, (0.25, 0.3))
    factors = (Factor(FactorKind.FEED, (0.7, 1.3)), stock)
    plate = cut_plate(job, PlateRequest(factors, a_row=3)).plate
    blank = plate_csv(plate, Unit.MM, ["Test plate"])
    assert blank.startswith("# Test plate\nhole,cut,feed,stock,gauge")
    filled = blank.replace(",,,,mm,,,", ",8.00,goes,,,tight curl,0.4,")
    file = tmp_path / "back.csv"
    file.write_text(filled)
    came = read_plate_file(file, job.shop, job.unit)
    assert [factor.kind for factor in came.cuts.factors] == [FactorKind.FEED, FactorKind.STOCK]
    for hole in plate.holes:
        assert came.cuts.settings[hole.name] == pytest.approx(plate.setting_of(hole))
        assert came.cuts.cut[hole.name] == hole.cut
    assert len(came.readings) == 12
    assert set(came.chips.values()) == {ChipForm.TIGHT}


def test_later_rows_of_a_hole_may_leave_its_setting_blank(job, tmp_path):
    file = tmp_path / "r.csv"
    file.write_text(
        HEAD + "A1,1,70 %,8.00,goes,,,long,\nA1,,,8.01,does not go,,,,0.62\n"
        "B1,2,130 %,8.00,goes,,,nest,\n"
    )
    came = read_plate_file(file, job.shop, job.unit)
    assert came.cuts.settings == {"A1": (0.7,), "B1": (1.3,)}
    assert [reading.hole for reading in came.readings] == ["A1", "A1", "B1"]
    assert came.chips == {"A1": ChipForm.LONG, "B1": ChipForm.NEST}
    assert came.ra == {"A1": 0.62}


def test_a_hole_that_was_only_looked_at_needs_no_gauge(job, tmp_path):
    file = tmp_path / "r.csv"
    file.write_text(HEAD + "A1,1,70,,,,,nest,\nB1,2,130,8.00,goes,,,t,\n")
    came = read_plate_file(file, job.shop, job.unit)
    assert len(came.readings) == 1
    assert came.chips == {"A1": ChipForm.NEST, "B1": ChipForm.TIGHT}


def test_a_column_that_never_changes_is_no_factor(job, tmp_path):
    file = tmp_path / "r.csv"
    file.write_text(
        "hole,cut,feed,speed,gauge,result\nA1,1,70,100,8.00,goes\nB1,2,130,100,8.00,goes\n"
    )
    came = read_plate_file(file, job.shop, job.unit)
    assert [factor.kind for factor in came.cuts.factors] == [FactorKind.FEED]


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("A1,1,,8.00,goes,,,,\nB1,2,70,8.00,goes,,,,\n", "r.csv, line 2, column feed"),
        ("A1,,70,8.00,goes,,,,\n", "line 2, column cut"),
        (
            "A1,1,70,8.00,goes,,,,\nA1,,85,8.01,goes,,,,\n",
            "must be the same in all rows of hole A1",
        ),
        (
            "A1,1,70,8.00,goes,,,,\nA1,2,,8.01,goes,,,,\n",
            "must be 1 as in the first row of hole A1",
        ),
        ("A1,1,70,8.00,goes,,,,\nB1,1,85,8.00,goes,,,,\n", "hole A1 and of hole B1"),
        ("A1,1,70,8.00,goes,,,curly,\nB1,2,85,8.00,goes,,,,\n", "tight curl, loose, long, nest"),
        ("A1,1,70,8.00,perhaps,,,,\nB1,2,85,8.00,goes,,,,\n", "perhaps"),
        ("A1,1,70,8.00,goes,,,,\nB1,2,70,8.00,goes,,,,\n", "differs from hole to hole"),
        ("A1,1,70,8.00,goes,,,,12\nB1,2,85,8.00,goes,,,,\n", "has no unit"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(job, tmp_path, rows, said):
    file = tmp_path / "r.csv"
    file.write_text(HEAD + rows)
    with pytest.raises(InputError, match=said):
        read_plate_file(file, job.shop, job.unit)


def test_a_file_without_factors_is_refused(job, tmp_path):
    file = tmp_path / "r.csv"
    file.write_text("hole,cut,gauge,result\nA1,1,8.00,goes\n")
    with pytest.raises(InputError, match="must have at least one of: feed, speed"):
        read_plate_file(file, job.shop, job.unit)
