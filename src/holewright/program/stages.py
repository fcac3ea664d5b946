"""What a program does step by step: tools in order, and the holes of each in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from holewright.planning.plan import Operation
from holewright.program.cycles import Place
from holewright.program.fixture import Fixture
from holewright.program.order import as_positions, hole_order, path_length
from holewright.program.program import Feature, Step
from holewright.program.settings import HoleOrder
from holewright.program.tool_sequence import tool_sequence

_BY_HAND = "by hand: "


@dataclass(frozen=True)
class Way:
    """What the way between holes depends on.

    Parameters
    ----------
    order : HoleOrder
        In which order the holes are made.
    fixture : Fixture
        What to fly over.
    radius : float
        Radius of the widest tool or holder. [mm]
    between : float
        Height between holes where nothing is in the way. [mm]
    """

    order: HoleOrder
    fixture: Fixture
    radius: float
    between: float


def stages(
    features: Sequence[Feature], numbers: dict[str, int], way: Way
) -> tuple[tuple[Step, ...], float]:
    """Return the steps of a program, and the way from hole to hole of all of them. [mm]

    Parameters
    ----------
    features : sequence of Feature
        What is to be made.
    numbers : dict of str to int
        T word of each tool.
    way : Way
        How holes are ordered, and what is in the way.
    """
    left = [list(feature.route.operations) for feature in features]
    steps: list[Step] = []
    for tool, served in tool_sequence([[_name(op) for op in route] for route in left]):
        wanted: dict[int, list[Operation]] = {}
        for k in served:
            wanted[k] = []
            while left[k] and _name(left[k][0]) == tool:
                wanted[k].append(left[k].pop(0))
        for operation, serves in _alike(wanted):
            holes = () if operation.by_hand else _holes_of(features, serves)
            steps.append(Step(numbers.get(tool, 0), operation, holes))
    return _ordered(steps, way)


def _name(operation: Operation) -> str:
    """Return what has to be fetched for an operation."""
    if operation.by_hand:
        return f"{_BY_HAND}{operation.kind} {operation.text}"
    return operation.tool


def _alike(wanted: Mapping[int, Sequence[Operation]]) -> list[tuple[Operation, list[int]]]:
    """Put together the features for which one tool does the same, each in its own order."""
    together: list[tuple[Operation, list[int]]] = []
    for feature, operations in wanted.items():
        begun = 0
        for operation in operations:
            same = [i for i, (o, _) in enumerate(together) if _bare(o) == _bare(operation)]
            place = next((i for i in same if i >= begun), len(together))
            if place == len(together):
                together.append((operation, []))
            together[place][1].append(feature)
            begun = place + 1
    return together


def _bare(operation: Operation) -> Operation:
    """Return an operation without what only people read."""
    return replace(operation, text="", numbers=(), time_s=0.0)


def _holes_of(features: Sequence[Feature], serves: Sequence[int]) -> tuple[Place, ...]:
    return tuple(hole for k in serves for hole in features[k].positions)


def _ordered(steps: list[Step], way: Way) -> tuple[tuple[Step, ...], float]:
    """Put the holes of each step in order, one step after the other."""
    zero = (0.0, 0.0)
    known: dict[frozenset[Place], tuple[Place, ...]] = {}
    ordered: list[Step] = []
    total, here = 0.0, zero
    for step in steps:
        if not step.holes:
            ordered.append(step)
            continue
        key = frozenset(step.holes)
        if key not in known:
            start = here if way.order is HoleOrder.THERE_AND_BACK else zero
            known[key] = _shortest(step.holes, start, way)
        holes = known[key]
        if way.order is HoleOrder.THERE_AND_BACK:
            holes = min(holes, holes[::-1], key=lambda h: _length(h[:1], here, way))
        total += _length(holes, here, way)
        here = holes[-1]
        ordered.append(replace(step, holes=holes))
    return tuple(ordered), total


def _shortest(holes: tuple[Place, ...], start: Place, way: Way) -> tuple[Place, ...]:
    if way.order is HoleOrder.AS_GIVEN:
        return holes
    order = hole_order(
        holes, start, fixture=way.fixture, radius=way.radius, usual=way.between
    ).tolist()
    return tuple(holes[i] for i in order)


def _length(holes: Sequence[Place], start: Place, way: Way) -> float:
    return path_length(
        as_positions(holes),
        range(len(holes)),
        start,
        fixture=way.fixture,
        radius=way.radius,
        usual=way.between,
    )
