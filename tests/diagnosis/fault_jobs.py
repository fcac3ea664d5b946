"""The jobs of the simulated shop: seven invented ones, planned by holewright itself."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from fault_world import Setting

from holewright.callout.callout import Entry, HoleKind
from holewright.diagnosis.facts import JobFacts, facts_of
from holewright.jobs.jobfile import read_job
from holewright.jobs.plan_hole import study_job
from holewright.planning.ream_numbers import cutting_coefficient, depth_of_cut
from holewright.shop.material import ChipClass
from holewright.sizing.reamed import fluid_term, recovery_term

_MACHINE = """
[shop]
name = "simulated, invented"
unit = "mm"
invented = true
[[machine]]
id = "mill"
n_min = 60
n_max = 12000
power = "15 kW"
thrust = "8 kN"
rapid = "30 m/min"
feed_max = "12 m/min"
tool_change_s = 5
rate = 80
spindle_tir_measured = "2 µm"
coolants = ["soluble 8 %, flood"]
can_bore = false
[[drill_set]]
series = ["metric"]
kind = "carbide"
first = "3.0 mm"
last = "20 mm"
[[pin_set]]
first = "4.9"
last = "16.2"
step = "0.01"
unit = "mm"
sense = "plus"
grade = "Z"
"""

_JOBS = {
    # callout, material, coolant, more of the hole, more of the material, reamer, holder
    "steel, through": (
        "8 H7 x 22 through",
        "16MnCr5",
        "soluble 8 %, flood",
        "",
        "",
        'kind = "carbide tipped"\nhelix = "left"\nOAL = 70\nLU = 30\nDMM = 10',
        'kind = "hydraulic"\ntir_measured = "4 µm"',
    ),
    "aluminium, blind": (
        "8 H7 x 18 blind",
        "6061-T6",
        "soluble 8 %, flood",
        "",
        "",
        'kind = "HSS"\nhelix = "right"\nOAL = 90\nLU = 40',
        'kind = "collet"',
    ),
    "stainless, crossed": (
        "12 H7 x 40 through",
        "X5CrNi18-10",
        "soluble 10 %, flood",
        'cross_bores = ["5 at 20"]',
        "",
        'kind = "carbide tipped"\nhelix = "left"\nOAL = 110\nLU = 55\nDMM = 12',
        'kind = "milling chuck"\ntir_measured = "5 µm"',
    ),
    "steel, blind, oil": (
        "10 H7 x 24 blind",
        "42CrMo4",
        "neat oil",
        "",
        'hardness = "280 HB"',
        'kind = "carbide tipped"\nhelix = "straight"\nOAL = 80\nLU = 35\nDMM = 12',
        'kind = "collet"\ntir_measured = "6 µm"',
    ),
    "aluminium, thin wall": (
        "16 H7 x 25 through",
        "6061-T6",
        "MQL",
        'wall = "3"',
        "",
        'kind = "carbide tipped"\nhelix = "straight"\nOAL = 110\nLU = 40\nDMM = 16',
        'kind = "hydraulic"\ntir_measured = "3 µm"',
    ),
    "iron": (
        "12 H7 x 30 through",
        "EN-GJL-250",
        "dry",
        "",
        "",
        'kind = "HSS"\nhelix = "straight"\nOAL = 151\nLU = 60',
        'kind = "collet"',
    ),
    "steel, slim": (
        "5 H7 x 25 through",
        "C45",
        "soluble 8 %, flood",
        "",
        "",
        'kind = "HSS"\nhelix = "right"\nOAL = 86\nLU = 40',
        'kind = "collet"\ntir_measured = "8 µm"',
    ),
}

JAWS = ("aluminium, thin wall", "iron")
BAD_FACE = ("iron", "steel, slim")
GUMMY = {"N": 1.0, "M": 0.8, "S": 0.8, "P": 0.45, "K": 0.1, "H": 0.2}
LONG = {ChipClass.LONG: 1.0, ChipClass.MEDIUM: 0.6, ChipClass.SHORT: 0.15}


@cache
def jobs() -> dict[str, tuple[Setting, JobFacts]]:
    """Return each job as the simulated shop and as fault finding know it."""
    found = {}
    with TemporaryDirectory() as folder:
        for name, (callout, material, coolant, hole, more, reamer, holder) in _JOBS.items():
            label = " ".join(callout.split()[:2])
            size = float(callout.split()[0])
            (Path(folder) / "shop.toml").write_text(
                f'{_MACHINE}[[reamer]]\nid = "R"\nlabel = "{label}"\n{reamer}\n'
                f'measured = "{size + 0.009}"\n[[holder]]\nid = "H"\n{holder}\n',
                encoding="utf-8",
            )
            file = Path(folder) / "job.toml"
            file.write_text(
                f'[job]\nname = "{name}"\nparts = 500\ninvented = true\n'
                f'[hole]\ncallout = "{callout}"\n{hole}\n[material]\nname = "{material}"\n{more}\n'
                f'[shop]\nfile = "shop.toml"\nmachine = "mill"\ncoolant = "{coolant}"\n',
                encoding="utf-8",
            )
            job = read_job(file)
            study = study_job(job)
            point = study.point
            assert point is not None, (name, study.plan.sentence, study.plan.refused)
            task = point.candidates.task
            facts = facts_of(task, study)
            reamer, callout_ = point.reamer, job.callout
            group = job.material.iso513
            setting = Setting(
                name=name,
                D=callout_.nominal,
                L=callout_.depth or 2 * callout_.nominal,
                W=1000 * callout_.limits.width,
                blind=callout_.kind is HoleKind.BLIND,
                group=group,
                gummy=GUMMY[group],
                long_chip=LONG.get(job.material.chips, 0.6),
                fluid=str(job.coolant.fluid),
                g=point.at("share"),
                follow=point.at("follow"),
                stiffness=point.at("stiffness"),
                k_c=cutting_coefficient(point),
                f=point.at("f"),
                a_p=depth_of_cut(point),
                teeth=reamer.ZEFP,
                alpha=job.material.alpha.value,
                helix=str(reamer.helix),
                crossed=bool(callout_.cross_bores),
                thin=callout_.wall is not None,
                bad_face=callout_.entry is not Entry.FLAT or name in BAD_FACE,
                position=50.0,
                listed_tir=1000 * point.at("tir"),
                edge_radius=0.3 * reamer.edge_radius,
                h_weakest=point.at("h"),
                stock=1000 * (reamer.DC.value - point.prepared.hole.mean),
                spring_sd=1000 * float(recovery_term(job.material).sd),
                fluid_sd=1000 * float(fluid_term(job.coolant.fluid).sd),
                three_jaws=name in JAWS,
            )
            assert math.isfinite(setting.stock)
            found[name] = (setting, facts)
    return found


_NEEDS = {
    "no-room": lambda s: s.blind,
    "helix-down": lambda s: s.blind,
    "lead-long": lambda s: s.blind,
    "drill-chips": lambda s: s.blind,
    "coolant-weak": lambda s: s.blind,
    "tilt-vacuum": lambda s: s.blind,
    "exit-whip": lambda s: not s.blind,
    "cross-burr": lambda s: s.crossed,
    "cross-after": lambda s: s.crossed,
    "interrupted": lambda s: s.crossed,
    "start-face": lambda s: s.bad_face,
    "wall": lambda s: True,
    "coolant-lean": lambda s: s.fluid == "soluble",
    "fluid-closes": lambda s: s.fluid == "soluble",
    "fluid-enlarges": lambda s: s.fluid != "soluble",
    "galling": lambda s: s.gummy > 0.4,
    "ductile": lambda s: s.gummy > 0.4,
    "helix-back": lambda s: s.long_chip > 0.5,
    "drill-nest": lambda s: s.long_chip > 0.5,
    "coolant-direction": lambda s: s.long_chip > 0.5,
}
"""Cause -> in which jobs it can be at all."""


def jobs_for(cause: str) -> list[str]:
    """Return the jobs in which a cause can be at work."""
    needs = _NEEDS.get(cause, lambda s: True)
    return [name for name, (setting, _) in jobs().items() if needs(setting)]
