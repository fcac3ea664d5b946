"""Typical holders by how they grip."""

from __future__ import annotations

import math
from functools import cache

from holewright.errors import InputError
from holewright.reference.tables import Row, table
from holewright.shop.holder import Holder, HolderKind
from holewright.uncertainty import Known, Tag

_COLUMNS = (
    "kind",
    "tir_low_um",
    "tir_high_um",
    "stiffness_n_mm",
    "shank_min_mm",
    "shank_max_mm",
    "change_s",
    "build_source",
    "note",
)


@cache
def _row(kind: HolderKind) -> Row:
    for row in table("holders", _COLUMNS):
        if row["kind"] == kind:
            return row
    raise InputError("kind", kind, "must have a row in reference/holders.csv")


def typical_tir(kind: HolderKind) -> Known:
    """Return the runout that a kind of holder typically leaves at three diameters. [mm]

    Anywhere between the published bounds, equally likely (JCGM 100, clause 4.3.7); without
    the spindle's own. Measure it at the reamer's lead before relying on it.
    """
    row = _row(kind)
    low, high = float(row["tir_low_um"]) / 1000, float(row["tir_high_um"]) / 1000
    return Known((low + high) / 2, Tag.DEFAULT, row["source"], (high - low) / math.sqrt(12))


def typical_holder(id: str, kind: HolderKind) -> Holder:
    """Return a holder as it usually is: runout from practice, build by judgement."""
    row = _row(kind)
    return Holder(
        id=id,
        kind=kind,
        tir=typical_tir(kind),
        stiffness=float(row["stiffness_n_mm"]),
        DMM_min=float(row["shank_min_mm"]),
        DMM_max=float(row["shank_max_mm"]),
        change_s=float(row["change_s"]),
    )
