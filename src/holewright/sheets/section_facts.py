"""What a hole section shows: the hole in mm, worked out of callout and route, and its words."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.callout.callout import Callout, HoleKind
from holewright.planning.plan import Operation, OperationKind, Route
from holewright.sheets.sizes import bare, length_pair, length_text, limit_text, other, tool_diameter

_TURNING = (OperationKind.DRILL, OperationKind.BORE, OperationKind.REAM, OperationKind.HONE)
_PAST = {
    OperationKind.DRILL: "drilled",
    OperationKind.BORE: "bored",
    OperationKind.REAM: "reamed",
    OperationKind.HONE: "honed",
}


@dataclass(frozen=True)
class Section:
    """The hole in mm, worked out of callout and route; depths below the entry face.

    Parameters
    ----------
    finished, before : Operation, optional
        The step that leaves the size, and the one that leaves its stock.
    chamfer : float, optional
        Diameter of the chamfer at the face. [mm]
    depth : float
        Depth over which the limits hold, or what is drawn where nobody says. [mm]
    end : float
        Deepest point that is drawn. [mm]
    """

    callout: Callout
    finished: Operation | None
    before: Operation | None
    chamfer: float | None
    depth: float
    end: float

    @property
    def stock(self) -> float:
        """Stock on diameter; 0 where no step leaves any. [mm]"""
        if self.before is None or self.finished is None:
            return 0.0
        return self.finished.diameter - self.before.diameter

    @property
    def through(self) -> bool:
        """Whether the hole goes through."""
        return self.callout.kind is HoleKind.THROUGH


def read_section(callout: Callout, route: Route | None) -> Section:
    """Return what is to be drawn of a callout and its route."""
    steps = [o for o in route.operations if o.kind in _TURNING] if route else []
    finished = steps[-1] if steps else None
    before = next((o for o in reversed(steps[:-1]) if o.diameter < callout.nominal), None)
    chamfers = (
        [o.diameter for o in route.operations if o.kind is OperationKind.CHAMFER] if (route) else []
    )
    depth = callout.depth or (finished.full_depth if finished else 0) or 2 * callout.nominal
    ends = [depth, callout.floor or 0, *(o.tip_depth for o in steps)]
    ends += [c.depth + c.diameter / 2 for c in callout.cross_bores]
    chamfer = max(chamfers, default=None)
    return Section(callout, finished, before, chamfer, depth, max(ends))


def depths_above(section: Section) -> list[tuple[float, str]]:
    """Return the depths that stand above the part: what is drilled, crossed and forbidden."""
    unit = section.callout.unit
    found = []
    for bore in section.callout.cross_bores:
        words = f"cross bore Ø{length_text(bore.diameter, unit)} at {length_pair(bore.depth, unit)}"
        found.append((bore.depth, words))
    step = section.before or (
        section.finished
        if not section.finished or section.finished.kind is OperationKind.DRILL
        else None
    )
    if step is not None and step.full_depth:
        found.append((step.full_depth, f"drill full Ø {length_pair(step.full_depth, unit)}"))
        if step.tip_depth > step.full_depth:
            found.append((step.tip_depth, f"drill tip {length_pair(step.tip_depth, unit)}"))
    if section.callout.floor is not None:
        words = f"floor {length_pair(section.callout.floor, unit)}"
        found.append((section.callout.floor, words))
    return sorted(found, key=lambda d: d[0])


def depths_below(section: Section) -> list[tuple[float, str]]:
    """Return the depths that stand below the part: what the drawing asks, what is reamed."""
    unit = section.callout.unit
    found = []
    if section.callout.depth is not None:
        words = f"limits to {length_pair(section.callout.depth, unit)}"
        found.append((section.callout.depth, words))
    step = section.finished
    if step is not None and step.kind is not OperationKind.DRILL and step.full_depth:
        name = "reamer" if step.kind is OperationKind.REAM else _PAST[step.kind]
        found.append((step.full_depth, f"{name} full Ø {length_pair(step.full_depth, unit)}"))
        if step.tip_depth > step.full_depth:
            found.append((step.tip_depth, f"reamer tip {length_pair(step.tip_depth, unit)}"))
    return sorted(found, key=lambda d: d[0])


def diameter_labels(section: Section) -> list[tuple[str, int]]:
    """Return the words left of the entry face and whether they belong above (-1) or below."""
    unit = section.callout.unit
    second = other(unit)
    low, high = section.callout.limits.lower, section.callout.limits.upper
    labels = []
    if section.before is not None and section.stock > 0:
        name = _PAST[section.before.kind]
        labels += [
            (f"{name} Ø{tool_diameter(section.before.diameter, unit)}", -1),
            (f"(Ø{tool_diameter(section.before.diameter, second)})", -1),
        ]
    name = _PAST[section.finished.kind] if section.finished else "finished"
    labels += [
        (f"{name} Ø{bare(limit_text(low, unit, lower=True))}", 1),
        (f"to {limit_text(high, unit, lower=False)}", 1),
        (f"(Ø{bare(limit_text(low, second, lower=True))}", 1),
        (f"to {limit_text(high, second, lower=False)})", 1),
    ]
    if section.chamfer is not None:
        labels.append((f"chamfer Ø{tool_diameter(section.chamfer, unit)}", 1))
        labels.append((f"(Ø{tool_diameter(section.chamfer, second)})", 1))
    return labels


def notes(section: Section, stock_factor: float) -> str:
    """Return what the picture says below: how the stock is drawn, and what else to know."""
    unit = section.callout.unit
    said = []
    if section.stock > 0:
        scale = "drawn to scale" if stock_factor == 1 else f"drawn {stock_factor:g} times too thick"
        said.append(f"Stock {length_pair(section.stock, unit)} on diameter, {scale}.")
    rest = "All else to scale." if section.stock > 0 and stock_factor > 1 else "To scale."
    if section.before is not None:
        rest = (
            f"Above the axis as {_PAST[section.before.kind]}, below as "
            f"{_PAST[section.finished.kind] if section.finished else 'finished'}. {rest}"
        )
    if section.callout.depth is None:
        rest += " The callout gives no depth."
    if section.callout.wall is None:
        rest += " Dashed edges: the part goes on."
    else:
        said.append(f"Thinnest wall {length_pair(section.callout.wall, unit)}.")
    return " ".join([*said, rest])
