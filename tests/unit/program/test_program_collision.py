"""What tool and holder would hit, told from the text of a program."""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.program.backplot import read_back
from holewright.program.collision import ToolShape, clashes
from holewright.program.fixture import OPEN, Fixture, KeepOut, check_reach, hop_heights

DRILL = ToolShape("drill 7.8", DC=7.8, LU=60.0, DMM=8.0, LPR=70.0, BD=40.0)
REAMER = ToolShape("reamer 8", DC=8.0, LU=30.0, DMM=8.0, LPR=90.0, BD=40.0)
CLAMP = KeepOut("strap clamp", 20.0, 40.0, -10.0, 10.0, 30.0)
HEAD = "G21 G90 G17 G40 G80 G94 G54\n"


def use(tool: int, blocks: str) -> str:
    return f"T{tool} M6\nS800 M3\nG0 X0. Y0.\nG43 H{tool} Z50.\n{blocks}G80\nG0 Z100.\nM5\n"


def found(*uses: str, fixture: Fixture = OPEN, shapes=(DRILL, REAMER)):
    text = HEAD + "".join(uses) + "M30\n"
    return clashes(read_back(text), dict(enumerate(shapes, start=1)), fixture)


DRILLED = use(1, "G98 G81 X0. Y0. Z-26. R2. F100.\n")
REAMED = use(2, "G98 G85 X0. Y0. Z-25. R2. F100.\n")


def codes(*uses: str, **how) -> list[str]:
    return [clash.code for clash in found(*uses, **how)]


def test_a_plain_drill_and_ream_hits_nothing():
    assert found(DRILLED, REAMED, fixture=Fixture((CLAMP,), floor=30.0)) == ()


def test_a_rapid_below_the_face_is_only_right_in_a_hole_of_that_depth_and_size():
    down = use(2, "G0 Z-20.\nG1 Z-25. F50.\nG1 Z2.\n")
    assert codes(down) == ["rapid-into-material"]  # nothing drilled
    assert codes(DRILLED, down) == ["rapid-into-material"]  # 7.8 drilled, 8.0 comes
    assert codes(use(1, "G1 Z-19. F50.\nG0 Z50.\n"), use(1, "G0 Z-20.\n")) == [
        "rapid-into-material"
    ]
    smaller = ToolShape("pilot", DC=7.0, LU=60.0, DMM=7.0, LPR=70.0, BD=40.0)
    assert codes(DRILLED, down, shapes=(DRILL, smaller)) == []


def test_a_clash_says_where_and_what():
    (clash,) = found(use(2, "G0 Z-20.\nG1 Z-25. F50.\nG1 Z2.\n"))
    assert (clash.line, clash.tool) == (6, 2)
    assert "goes at rapid to Z-20.000 where the hole is open to Z0.000 only" in clash.text


def test_the_way_across_must_be_above_the_clamp_for_tool_and_holder():
    over = "G0 Z{}\nG0 X60. Y0.\nG0 Z50.\n"
    tall = Fixture((CLAMP,))
    assert codes(use(1, over.format(29.0)), fixture=tall) == ["hits-keep-out"]
    assert codes(use(1, over.format(32.0)), fixture=tall) == []
    # Beside it: the tool goes by 8 mm away, but the holder's nose is 20 mm wide and comes
    # down to 70 - 45 = 25, below the clamp's top.
    beside = "G0 X0. Y22.\nG98 G81 X0. Y22. Z-45. R2. F100.\nX30. Y22.\n"
    assert codes(use(1, beside), fixture=tall)[-1] == "hits-keep-out"
    shallow = "G0 X0. Y22.\nG98 G81 X0. Y22. Z-10. R2. F100.\nX30. Y22.\n"
    assert codes(use(1, shallow), fixture=tall) == []


def test_a_rapid_that_may_bend_keeps_out_of_the_whole_rectangle_between_its_ends():
    # The straight line from 0, -60 to 60, 0 passes 15 mm from the clamp's corner; axis by
    # axis the tool would go through it.
    bent = "G0 X0. Y-60.\nG0 Z20.\nG0 X60. Y0.\nG0 Z50.\n"
    assert codes(use(1, bent), fixture=Fixture((CLAMP,))) == ["hits-keep-out"]


def test_the_floor_under_the_part_stops_the_tip():
    assert codes(DRILLED, fixture=Fixture(floor=26.0)) == []
    (clash,) = found(DRILLED, fixture=Fixture(floor=25.0))
    assert clash.code == "hits-floor"
    assert "Z-26.000; what lies under the part begins at Z-25.000" in clash.text


def test_shank_and_holder_must_stay_out_of_the_part():
    thick = ToolShape("reduced shank", DC=7.8, LU=20.0, DMM=10.0, LPR=70.0, BD=40.0)
    assert codes(DRILLED, shapes=(thick,)) == ["hits-part"]
    thin = ToolShape("necked", DC=7.8, LU=20.0, DMM=7.0, LPR=70.0, BD=40.0)
    assert codes(DRILLED, shapes=(thin,)) == []
    short = ToolShape("stub", DC=7.8, LU=20.0, DMM=7.8, LPR=24.0, BD=40.0)
    assert "its holder goes 2.0 mm below" in found(DRILLED, shapes=(short,))[0].text


def test_going_sideways_in_the_material_is_never_right():
    assert codes(use(1, "G1 Z-5. F50.\nG1 X10.\nG1 Z5.\n")) == ["sideways-in-material"]
    assert "sideways-in-material" in codes(DRILLED, use(1, "G0 Z-5.\nG0 X10.\nG0 Z5.\n"))


def test_without_a_shape_only_the_tip_is_checked():
    assert codes(DRILLED, fixture=Fixture((CLAMP,), floor=20.0), shapes=()) == ["hits-floor"]


def test_hops_are_as_high_as_the_highest_thing_between_their_ends():
    post = KeepOut("post", 45, 50, -5, 5, 70.0)
    fixture = Fixture((CLAMP, post))
    ends = [[60.0, 0.0], [30.0, 40.0], [0.0, 40.0]]
    heights = hop_heights([0.0, 0.0], ends, fixture, radius=5.0, usual=25.0)
    assert heights.tolist() == [72.0, 32.0, 25.0]


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: KeepOut("c", 5, 5, 0, 1, 3), "first side below its second"),
        (lambda: KeepOut("c", 0, 5, 0, 1, float("nan")), "top"),
        (lambda: Fixture(floor=0.0), "floor"),
        (lambda: check_reach(Fixture((CLAMP,)), 30.0), "raise the safe plane to 32 mm"),
        (lambda: ToolShape("t", 0.0, 1, 1, 1, 1), "DC of t"),
    ],
)
def test_what_cannot_stand_there_is_refused(make, said):
    with pytest.raises(InputError, match=said):
        make()
