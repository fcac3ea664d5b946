"""A person in the simulated shop: what is complained of, read, seen and tried.

A trial cut cuts again in a changed world and compares how bad the complaint is. What is there
may be overlooked, and what isn't may be seen.
"""

from __future__ import annotations

import numpy as np
from fault_holes import Holes, changed, make, reading_shift, severities
from fault_world import World

from holewright.diagnosis.pattern import Felt, Spot

MISS, FALSE = 0.12, 0.04
"""How often a person overlooks what is there, and sees what isn't."""


def complaint(w: World, rng: np.random.Generator) -> tuple[str, ...]:
    """Return what is complained of, the worst first; empty where nothing is."""
    bad = {code: x * rng.lognormal(0, 0.1) for code, x in severities(w).items()}
    shown = sorted((c for c, x in bad.items() if x >= 1), key=lambda c: -bad[c])
    return tuple(shown[:1] + [c for c in shown[1:3] if rng.random() < 0.6])


class Shop:
    """A person in the shop: what can be read, seen and tried."""

    def __init__(self, w: World, main: str, rng: np.random.Generator) -> None:
        self.w = w
        self.main = main
        self.rng = rng
        self.holes: Holes = make(w)
        self.bad = severities(w)[main]

    def sees(self, there: bool) -> bool:
        """Return whether a person finds it."""
        return bool(self.rng.random() < (1 - MISS if there else FALSE))

    def much(self, value: float, doubt: float = 0.1) -> float:
        """Return a value as a person judges it."""
        return value * float(self.rng.lognormal(0, doubt))

    def after(self, **values: object) -> float:
        """Return how bad the complaint is in a changed world, over how bad it was."""
        again = severities(changed(self.w, **values))[self.main]
        return float(again / self.bad * self.rng.lognormal(0, 0.08))

    def better(self, **values: object) -> bool:
        """Return whether it is gone or much less."""
        return self.after(**values) < 0.75

    # readings

    def read(self, hole: int, depth: int, angle: float, kind: Felt = Felt.TWO_POINT) -> float:
        """Return a size as it is read off. [µm over the planned size]"""
        felt = self.holes.two_point if kind is Felt.TWO_POINT else self.holes.three_point
        shift = reading_shift(self.w) - 0.3 * max(self.w.dirt - 0.4, 0)
        hand = self.rng.normal(0, np.hypot(0.5, 0.6 * self.w.feel))
        return felt(hole, depth, angle) + shift + float(hand)

    def spots(self, mapped: bool, planned: float, u: float) -> tuple[Spot, ...]:
        """Return readings: five holes at mid-depth, and with `mapped` the whole map."""
        found = []

        def note(value: float, **where: object) -> None:
            found.append(Spot(size=planned + value / 1000, u=u, **where))  # type: ignore[arg-type]

        for hole in (0, 3, 5, 7, 10, 12, 15) if mapped else (0, 4, 8, 12, 15):
            note(self.read(hole, 1, 0), hole=hole, depth=0.5, direction=0.0)
        if not mapped:
            return tuple(found)
        depths = (0.12, 0.5, 0.88)
        for hole in (0, 7, 15):
            for d, depth in enumerate(depths):
                for angle in (0, 60, 120):
                    if not (d == 1 and angle == 0):
                        value = self.read(hole, d, angle)
                        note(value, hole=hole, depth=depth, direction=float(angle))
            value = self.read(hole, 1, 0, Felt.THREE_POINT)
            note(value, hole=hole, depth=0.5, felt=Felt.THREE_POINT)
            pin = self.holes.gauged(hole) + self.rng.normal(0, 0.5 * self.w.feel)
            step = 2.5
            low = np.floor(pin / step) * step
            found.append(
                Spot(
                    hole=hole,
                    size=planned + (low + step / 2) / 1000,
                    u=step / 1000 / np.sqrt(12),
                    felt=Felt.PINS,
                )
            )
        if self.rng.random() < 0.5:
            second = self.read(7, 1, 0) + self.w.people * self.w.drift_sign + self.w.other_size
            note(second, hole=7, depth=0.5, direction=0.0, by="second")
        return tuple(found)

    def cooled(self) -> float:
        """Return by how much the reading changes in an hour. [µm]"""
        s = self.w.setting
        gone = -1000 * s.D * s.alpha * (self.w.part_warm + 0.35 * max(self.w.cut_hot, 0))
        return gone + self.w.relax + float(self.rng.normal(0, 0.6))
