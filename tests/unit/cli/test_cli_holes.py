"""``holewright holes``."""

from __future__ import annotations

from pathlib import Path

import pytest

from holewright.jobs.jobfile import read_job

ROOT = Path(__file__).parents[3]
TABLE = ROOT / "examples" / "brakelund" / "holes_a.csv"
BRACKET = ROOT / "tests" / "data" / "nema-17-bracket.step"


def test_a_table_is_listed_by_groups(holewright):
    answer = holewright("holes", TABLE)
    assert answer.code == 0
    assert "8 holes in 2 groups" in answer.out
    document = holewright("holes", TABLE, "--json").document
    assert [(g["name"], g["diameter_mm"], len(g["holes"])) for g in document["groups"]] == [
        ("A", 8.0, 4),
        ("B", 5.0, 4),
    ]


def test_a_group_becomes_a_job_file_that_can_be_planned(holewright, tmp_path):
    file = tmp_path / "dowels.toml"
    asked = ["--group", "a", "--callout", "8 H7 x 22 through", "--material", "16MnCr5"]
    answer = holewright("holes", TABLE, *asked, "-o", file)
    assert answer.code == 0
    job = read_job(file)
    assert job.holes == ((0, 0), (60, 0), (60, 44), (0, 44))
    assert job.callout.fit == "H7"
    assert holewright("plan", file, "--json").document["callout"]["fit"] == "H7"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["--callout", "8 H7", "--material", "C45"], "group = not given: must be one of A (4 of 8"),
        (["--group", "Q", "--callout", "8 H7", "--material", "C45"], "group = Q: is not among A"),
        (["--group", "B", "--callout", "8 H7", "--material", "C45"], "has holes of 5 mm, the call"),
        (["--group", "A", "--material", "C45"], "callout = not given"),
        (["--group", "A", "--callout", "8 H7"], "material = not given"),
    ],
)
def test_a_group_that_cannot_be_meant_makes_no_job(holewright, tmp_path, asked, said):
    file = tmp_path / "job.toml"
    answer = holewright("holes", TABLE, *asked, "-o", file)
    assert answer.code == 2
    assert said in answer.err
    assert not file.exists()


def test_columns_are_mapped(holewright, tmp_path):
    table = tmp_path / "export.csv"
    table.write_text("Pos X;Pos Y;Dia\n1,5;2;8\n")
    mapped = ["--column", "x=Pos X", "--column", "y=Pos Y", "--column", "diameter=Dia"]
    document = holewright("holes", table, *mapped, "--unit", "mm", "--json").document
    assert document["groups"][0]["holes"][0]["x_mm"] == 1.5
    wrong = holewright("holes", table, "--column", "x", "--unit", "mm")
    assert wrong.code == 2
    assert 'must be such as "x=Pos X"' in wrong.err


def test_a_model_is_listed_and_becomes_a_job_with_its_walls(holewright, tmp_path):
    pytest.importorskip(
        "OCP", reason="the extra that reads STEP is not installed", exc_type=ImportError
    )
    file = tmp_path / "screws.toml"
    asked = ["--group", "A", "--callout", "3.3 H8 x 3 through", "--material", "6061-T6"]
    answer = holewright("holes", BRACKET, *asked, "-o", file)
    assert answer.code == 0
    assert "5 holes in 2 groups" in answer.out
    job = read_job(file)
    assert len(job.holes) == 4
    assert job.callout.wall == 3.35
