"""Steps of a program: which tool comes when, and where it goes first."""

from __future__ import annotations

import pytest

from holewright.planning.plan import Operation, OperationKind, Route
from holewright.program.fixture import OPEN, Fixture, KeepOut
from holewright.program.program import Feature
from holewright.program.settings import HoleOrder
from holewright.program.stages import Way, stages

KINDS = {"spot": OperationKind.SPOT, "chamfer": OperationKind.CHAMFER, "ream": OperationKind.REAM}


def op(tool: str, depth: float = 20.0, **more) -> Operation:
    kind = KINDS.get(tool.split()[0], OperationKind.DRILL)
    return Operation(kind, tool, 8.0, n=800, f=0.1, tip_depth=depth, **more)


WASH = Operation(OperationKind.WASH, "", 8.0, text="Blow the chips out.", by_hand=True)
LINE = ((0.0, 0.0), (10.0, 0.0), (20.0, 0.0))


def feature(*operations: Operation, at=LINE) -> Feature:
    return Feature(Route("r", operations, 0.0, (), 0.0, 0.0), at, "hole")


def steps_of(*features: Feature, order=HoleOrder.SAME, fixture: Fixture = OPEN):
    names = [o.tool for f in features for o in f.route.operations if not o.by_hand]
    numbers = {name: i for i, name in enumerate(dict.fromkeys(names), start=1)}
    return stages(features, numbers, Way(order, fixture, 4.0, 25.0))


def test_each_operation_makes_every_hole_before_the_next_comes():
    steps, _ = steps_of(feature(op("spot"), op("drill"), WASH, op("ream")))
    assert [(step.tool, len(step.holes)) for step in steps] == [(1, 3), (2, 3), (0, 0), (3, 3)]


def test_one_tool_that_does_the_same_for_two_features_goes_round_once():
    far = ((30.0, 0.0), (40.0, 0.0))
    steps, _ = steps_of(
        feature(op("spot", 3.0), op("drill a")), feature(op("spot", 3.0), op("drill b"), at=far)
    )
    assert [(step.tool, len(step.holes)) for step in steps] == [(1, 5), (2, 3), (3, 2)]
    assert steps[0].holes == LINE + far


def test_one_tool_that_does_different_things_does_them_one_after_the_other():
    far = ((30.0, 0.0), (40.0, 0.0))
    steps, _ = steps_of(
        feature(op("spot", 3.0), op("drill a")), feature(op("spot", 2.0), op("drill b"), at=far)
    )
    assert [(step.tool, len(step.holes)) for step in steps] == [(1, 3), (1, 2), (2, 3), (3, 2)]


def test_features_keep_their_own_order_where_they_do_the_same_in_another():
    # Found by a random job: the second feature must not get its 0.5 before its 1.0.
    far = ((30.0, 0.0),)
    first = feature(op("spot", 0.5))
    second = feature(op("spot", 1.0), op("spot", 0.5), at=far)
    steps, _ = steps_of(first, second)
    at_far = [step.operation.tip_depth for step in steps if far[0] in step.holes]
    assert at_far == [1.0, 0.5]


def test_the_wash_by_hand_is_shared_too():
    far = ((30.0, 0.0),)
    steps, _ = steps_of(
        feature(op("drill a"), WASH, op("ream a")),
        feature(op("drill b"), WASH, op("ream b"), at=far),
    )
    assert [step.operation.by_hand for step in steps].count(True) == 1
    assert [step.tool for step in steps if step.tool] in ([1, 3, 2, 4], [1, 3, 4, 2])


@pytest.mark.parametrize(
    ("order", "ways", "length"),
    [
        # Both begin at the zero: 20 out, 20 back, 20 out.
        (HoleOrder.SAME, [LINE, LINE], 60.0),
        (HoleOrder.THERE_AND_BACK, [LINE, LINE[::-1]], 40.0),
    ],
)
def test_there_and_back_saves_the_way_back(order, ways, length):
    steps, way = steps_of(feature(op("drill"), op("ream")), order=order)
    assert [step.holes for step in steps] == ways
    assert way == pytest.approx(length)


def test_as_given_is_as_given():
    given = ((10.0, 0.0), (20.0, 0.0), (0.0, 0.0))
    steps, way = steps_of(feature(op("drill"), at=given), order=HoleOrder.AS_GIVEN)
    assert steps[0].holes == given
    assert way == pytest.approx(10 + 10 + 20)


def test_a_hop_over_a_clamp_counts_in_the_way():
    clamp = Fixture((KeepOut("clamp", 14.0, 16.0, -5.0, 5.0, 48.0),))
    _, way = steps_of(feature(op("drill")), fixture=clamp)
    # 50 mm high instead of 25, up and down: the rectangle from 10 to 20 holds the clamp, and
    # so does that from 0 to 10, grown by the tool's 4 mm and 2 mm.
    assert way == pytest.approx(20 + 2 * 25 + 2 * 25)
