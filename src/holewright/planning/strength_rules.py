"""Limits that tools keep so as not to break: torsion, buckling, bending, and whirl."""

from __future__ import annotations

from holewright.cutting.strength import (
    EULER_SAFETY,
    bending_stress,
    buckling_load,
    drill_torque_allowed,
    tool_material,
    torsion_stress,
)
from holewright.planning.candidates import SUBSTRATE, Candidates, stick_out
from holewright.planning.grid import everywhere, on_prepared, on_reamers
from holewright.planning.limits import Limit
from holewright.planning.prepare import Prepared
from holewright.shop.drill import DrillKind
from holewright.sizing.lobing import UNPREDICTABLE

SAFETY = 2.0
"""Safety of a reamer against breaking. [-] Own judgement."""

_BEND_OVER_SHEAR = 3**0.5
"""Stress allowed in bending over that in shear (von Mises). [-]"""

_CLOSE = 1e-6
"""A feed brought down to the torque allowed stays allowed when it is reckoned anew. [N·m]"""

_CARBIDE = (DrillKind.CARBIDE, DrillKind.CARBIDE_FOUR_MARGIN)


def drill_limits(c: Candidates) -> tuple[Limit, ...]:
    """Return the limits of the drills."""
    bodies = [tool_material("carbide" if p.drill.kind in _CARBIDE else "HSS") for p in c.prepared]
    return (
        Limit(
            "drill-torsion",
            on_prepared([p.torque / 1000 for p in c.prepared]),
            on_prepared(
                [
                    float(drill_torque_allowed(p.drill.DC.value, body.substrate)) / 1000 + _CLOSE
                    for p, body in zip(c.prepared, bodies, strict=True)
                ]
            ),
            at_most=True,
            unit="N·m",
            sentence="drilling takes {value}, it stands {limit}",
            places=3,
        ),
        Limit(
            "drill-buckling",
            on_prepared([p.thrust for p in c.prepared]),
            on_prepared(
                [
                    _critical(p, body.e_modulus) / EULER_SAFETY
                    for p, body in zip(c.prepared, bodies, strict=True)
                ]
            ),
            at_most=True,
            unit="N",
            sentence="drilling pushes with {value}, {limit} is safe against buckling",
        ),
    )


def _critical(p: Prepared, e_modulus: float) -> float:
    """Return the thrust at which a drill buckles: its spot or its own point guides its tip."""
    return float(buckling_load(p.drill.DC.value, p.drill.LU, e_modulus, guided=True))


def reamer_strength_limits(c: Candidates) -> tuple[Limit, ...]:
    """Return the limits of the reamers: torsion, buckling, bending and whirl."""
    bodies = [tool_material(SUBSTRATE[r.kind]) for r in c.reamers]
    out = on_reamers([stick_out(r) for r in c.reamers])
    necks = on_reamers([r.DMM for r in c.reamers])
    aside = c.follow * on_prepared([p.hole.axis_hi for p in c.prepared])
    return (
        Limit(
            "torsion",
            torsion_stress(
                c.torque,
                on_reamers([r.DC.value for r in c.reamers]),
                on_reamers([r.core for r in c.reamers]),
            ),
            on_reamers([body.shear_allowable / SAFETY for body in bodies]),
            at_most=True,
            unit="MPa",
            sentence="twists the reamer with {value}, {limit} is safe",
        ),
        Limit(
            "reamer-buckling",
            c.thrust,
            buckling_load(necks, out, on_reamers([body.e_modulus for body in bodies]), core=1.0)
            / EULER_SAFETY,
            at_most=True,
            unit="N",
            sentence="pushes with {value}, {limit} is safe against buckling",
        ),
        Limit(
            "reamer-bending",
            bending_stress(c.stiffness * aside, out, necks),
            on_reamers([_BEND_OVER_SHEAR * body.shear_allowable / SAFETY for body in bodies]),
            at_most=True,
            unit="MPa",
            sentence="following a hole drilled off bends it with {value}, {limit} is safe",
        ),
        Limit(
            "whirl",
            c.growth,
            everywhere(UNPREDICTABLE),
            at_most=True,
            unit="",
            sentence="whirl would grow by a factor of {value} a turn: lobes of a height that "
            "nobody can forecast; {limit} is the most. More feed, less stock, a stiffer tool "
            "or a shorter lead calms it",
            places=2,
        ),
    )
