"""What is refused before a program is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from holewright.errors import InputError, OutOfRangeError
from holewright.planning.plan import Operation, OperationKind
from holewright.program.order import as_positions, closest_pair
from holewright.program.program import Feature
from holewright.shop.machine import Machine

_LEAST_DEPTH = 0.01
"""A depth, a peck or a diameter below this is a slip of the pen. [mm]"""
_OPENS_ONLY = frozenset({OperationKind.FACE, OperationKind.SPOT, OperationKind.CHAMFER})


def check_feature(feature: Feature, machine: Machine) -> None:
    """Refuse a feature that can't be written, or not for this machine.

    Raises
    ------
    InputError
        With the operation or the holes, and what would be accepted.
    """
    cuts = [op for op in feature.route.operations if not op.by_hand]
    if not cuts:
        raise InputError("route", feature.route.name, "must have an operation for the machine")
    for operation in cuts:
        _check_operation(operation, machine)
    _check_spacing(feature.positions, cuts)


def _check_operation(operation: Operation, machine: Machine) -> None:
    """Refuse what can't be written, or what the machine doesn't have."""
    for field, value, least, most, unit in _ranges(operation, machine):
        if not least <= value <= most:
            raise OutOfRangeError(
                f"{field} of {operation.kind} with {operation.tool}",
                f"{value:g} {unit}",
                f"from {least:g} to {most:g} {unit} on machine {machine.id}",
            )
    if operation.peck and operation.feed_out:
        raise InputError(
            f"feed out of {operation.kind} with {operation.tool}",
            f"{operation.feed_out:g}",
            "must be 0 for a tool that pecks: it is drawn out at rapid each time",
        )
    if operation.peck and operation.dwell_s:
        raise InputError(
            f"dwell of {operation.kind} with {operation.tool}",
            f"{operation.dwell_s:g} s",
            "must be 0 for a tool that pecks: the pecking cycle has no dwell",
        )


def _ranges(
    operation: Operation, machine: Machine
) -> Iterator[tuple[str, float, float, float, str]]:
    """Yield field, value, least, most and unit of what is checked."""
    most_depth = 1000.0
    yield "diameter", operation.diameter, _LEAST_DEPTH, most_depth, "mm"
    yield "tip depth", operation.tip_depth, _LEAST_DEPTH, most_depth, "mm"
    yield "n", operation.n, max(machine.n_min, 1.0), machine.n_max, "1/min"
    yield "f", operation.f, 1e-4, 10.0, "mm"
    yield "feed speed", operation.v_f, 1e-3, machine.feed_max, "mm/min"
    yield "dwell", operation.dwell_s, 0.0, 60.0, "s"
    if operation.peck:
        yield "peck", operation.peck, _LEAST_DEPTH, most_depth, "mm"
    if operation.feed_out:
        out = operation.v_f * operation.feed_out
        yield "feed speed out", out, 1e-3, machine.feed_max, "mm/min"


def _check_spacing(positions: Sequence[tuple[float, float]], cuts: Sequence[Operation]) -> None:
    """Refuse no holes at all, and two that lie closer than half a diameter."""
    holes = as_positions(positions)
    if len(holes) == 0:
        raise InputError("hole positions", "none", "must be at least one")
    if len(holes) == 1:
        return
    made = [op.diameter for op in cuts if op.kind not in _OPENS_ONLY]
    diameter = max(made or [op.diameter for op in cuts])
    i, j, distance = closest_pair(holes)
    if distance < diameter / 2:
        first, second = sorted((i, j))
        raise InputError(
            f"hole positions {first + 1} and {second + 1}",
            f"{distance:.3f} mm apart",
            f"must be {diameter / 2:.3f} mm or more apart, half a diameter: is one there twice?",
        )
