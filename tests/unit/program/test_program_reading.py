"""What a program's comments and the tool room say of its tools."""

from __future__ import annotations

import pytest

from holewright.errors import InputError
from holewright.planning.plan import Operation, OperationKind
from holewright.program.read_program import read_program
from holewright.program.tool_shape import tool_shapes
from holewright.program.tool_words import ToolWords, program_unit, tool_words
from holewright.shop.generic import generic_shop
from holewright.units import Unit

TEXT = """%
(- JOB: T9 PLATE, DIA 99.000, N 1)
(- T1 DRILL, D 7.75 C, DIA 7.764, N 4510, F 0.147/REV, 664.3/MIN, TO Z-24.413)
(- T2 CHAMFER, CHAMFERING TOOL, 90 DEGREES, DIA 8.600, N 848, F 0.100/REV,)
(- 84.76/MIN, TO Z-4.300)
N10 G21 G90 G17 G40 G80 G94 G54
N20 T1 M6
N30 S4510 M3
N40 G0 X0.000 Y0.000
N50 G43 H1 Z25.000
N60 G98 G81 X0.000 Y0.000 Z-24.413 R2.000 F664.3
N70 M30
%
"""


def test_tools_are_read_out_of_folded_comments():
    assert tool_words(TEXT) == (
        ToolWords(1, "drill", "D 7.75 C", 7.764),
        ToolWords(2, "chamfer", "CHAMFERING TOOL, 90 DEGREES", 8.6),
    )


def test_semicolons_and_inches():
    text = "; - T3 REAM, R .3128-1, DIA 0.3128, N 1772\nG20 G90\n"
    assert tool_words(text) == (ToolWords(3, "ream", "R .3128-1", 7.94512),)
    assert program_unit(text) is Unit.INCH


def test_a_program_of_others_has_no_tool_words():
    assert tool_words("G21 G90\nT1 M6 (8 MM DRILL)\n") == ()
    with pytest.raises(InputError, match="G20 or G21"):
        program_unit("T1 M6\n(G21 is meant)\n")


def test_a_tool_without_words_goes_by_its_number():
    read = read_program(TEXT, "a", generic_shop().machines[0])
    assert (read.does(1), read.does(2), read.does(7)) == ("drill", "chamfer", "T7")
    assert (read.diameter(1), read.diameter(7)) == (7.764, 0.0)
    assert len(read.times) == 1


def test_shapes_come_out_of_the_tool_room():
    shop = generic_shop()
    drill, reamer, holder = shop.drills[0], shop.reamers[0], shop.holders[0]
    operations = [
        Operation(OperationKind.DRILL, drill.id, drill.DC.value, holder=holder.id),
        Operation(OperationKind.REAM, reamer.id, reamer.DC.value),
        Operation(OperationKind.CHAMFER, "chamfering tool, 90 degrees", 9.0),
    ]
    shapes = tool_shapes(operations, shop)
    assert set(shapes) == {drill.id, reamer.id}
    drilled = shapes[drill.id]
    assert max(drill.OAL - 3 * drill.DC.value, drill.LU) == drilled.LPR
    assert drilled.BD == holder.BD
    assert shapes[reamer.id].DMM == reamer.DMM
    assert max(reamer.OAL - 3 * reamer.DMM, reamer.LU) == shapes[reamer.id].LPR
