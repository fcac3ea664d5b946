"""Tables of holes from whatever program wrote them."""

from __future__ import annotations

import pytest

from holewright.callout.callout import HoleKind
from holewright.callout.found_hole import group_holes
from holewright.errors import AmbiguousError, InputError
from holewright.jobs.hole_table import read_hole_table
from holewright.units import Unit


def table(tmp_path, text: str, unit: Unit | None = Unit.MM, **how):
    path = tmp_path / "holes.csv"
    path.write_text(text, "utf-8")
    return read_hole_table(path, unit, **how)


def test_a_plain_table(tmp_path):
    holes = table(
        tmp_path,
        "hole,x,y,diameter,depth,kind\nA1,10,12.5,8,22,through\nA2,-30,12.5,8,22,thru\n"
        "B1,0,0,.5 in,10,blind\n",
    )
    assert [hole.name for hole in holes] == ["A1", "A2", "B1"]
    assert holes[0].entry == (10.0, 12.5, 0.0)
    assert holes[1].entry == (-30.0, 12.5, 0.0)
    assert (holes[2].diameter, holes[2].depth, holes[2].kind) == (12.7, 10.0, HoleKind.BLIND)
    assert [len(group.holes) for group in group_holes(holes)] == [2, 1]


def test_semicolons_decimal_commas_and_blank_cells(tmp_path):
    (hole,) = table(tmp_path, "X;Y;Z;Diameter;Depth\n10,5;-3,25;-2;8,0;\n")
    assert hole.entry == (10.5, -3.25, -2.0)
    assert (hole.name, hole.diameter, hole.depth, hole.kind) == ("1", 8.0, None, None)


def test_columns_of_other_names_are_mapped_with_their_units(tmp_path):
    text = "Id,Pos X [mm],Pos Y [in],Dia (mm),Colour\n7,10,.5,8,red\n"
    columns = {"hole": "Id", "x": "Pos X [mm]", "y": "Pos Y [in]", "diameter": "Dia (mm)"}
    (hole,) = table(tmp_path, text, None, columns=columns)
    assert (hole.name, hole.entry, hole.diameter) == ("7", (10.0, 12.7, 0.0), 8.0)


def test_a_callout_says_size_depth_and_kind(tmp_path):
    (first, second) = table(
        tmp_path, "x,y,callout\n0,0,8 H7 x 22 through\n20,0,8 H7 x 22 through\n"
    )
    assert (first.diameter, first.depth, first.kind) == (8.0, 22.0, HoleKind.THROUGH)
    (group,) = group_holes([first, second])
    assert group.holes[0].callout == "8 H7 x 22 through"


def test_holes_of_one_size_under_two_callouts_stay_apart(tmp_path):
    holes = table(tmp_path, "x,y,callout\n0,0,8 H7\n20,0,8 H8\n")
    assert len(group_holes(holes)) == 2


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        ("x,y,diameter\n1,two and a half,8\n", 2, "y", "y = two and a half"),
        ("x,y,diameter\n1,2,8\n\n3,,8\n", 4, "y", "must be there in hole"),
        ("x,y,diameter\n1,2,-8\n", 2, "diameter", "length from 0"),
        ("x,y\n1,2\n", 2, "diameter", "or a callout"),
        ("x,y,diameter,kind\n1,2,8,stepped\n", 2, "kind", "through, blind"),
        ("x,y,callout\n1,2,8 Q77\n", 2, "callout", "tolerance class = Q77"),
        ("x,y,diameter\n99999,2,8\n", 2, "x", "within 10000 mm"),
        ("x,y,diameter\n1,2,8,9\n", 2, None, "more cells"),
        ("x,y,dia\n1,2,8\n", 1, None, "dia"),
    ],
)
def test_a_slip_is_named_by_row_and_column(tmp_path, text, line, column, said):
    with pytest.raises(InputError) as caught:
        table(tmp_path, text)
    assert said in str(caught.value)
    assert (caught.value.where.line, caught.value.where.column) == (line, column)


def test_a_length_without_a_unit_is_asked_for(tmp_path):
    with pytest.raises(AmbiguousError, match="has no unit"):
        table(tmp_path, "x,y,diameter\n1,2,8\n", None)


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        ({"size": "Dia"}, "size: must be one of hole, x, y"),
        ({"x": "Pos Q"}, "Pos Q: is not in the file"),
    ],
)
def test_a_mapping_that_cannot_be_is_refused(tmp_path, columns, said):
    with pytest.raises(InputError, match=said):
        table(tmp_path, "Pos X,y,diameter\n1,2,8\n", columns=columns)
