"""Work materials."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from holewright.uncertainty import Known


class ChipClass(StrEnum):
    """How a material's chip comes off at usual feeds, before any chip breaker."""

    SHORT = "short"
    MEDIUM = "medium"
    LONG = "long"


class KcSystem(StrEnum):
    """Which system of tables a specific cutting force belongs to. The two are never mixed."""

    CLASSIC = "classic"
    """Measured in turning with plain sharp carbide; the corrections of
    :mod:`holewright.cutting.correction` are meant for it."""
    GROUPS = "VDI 3323 groups"
    """By group, for positive carbide with chip formers; it knows no corrections. See
    :mod:`holewright.cutting.kienzle_groups`."""


@dataclass(frozen=True)
class Material:
    """A work material as it lies on the machine.

    Parameters
    ----------
    name : str
        The designation asked for, e.g. ``16MnCr5``.
    aliases : tuple of str
        Other designations of the same material.
    iso513 : str
        Main group of ISO 513: P, M, K, N, S or H.
    kc11 : Known
        Specific cutting force at 1 mm x 1 mm (k_c1.1). [N/mm²]
    mc : Known
        Its exponent m_c. [-]
    hardness_hb : Known
        Brinell hardness. [HB]
    alpha : Known
        Thermal expansion. [1/K]
    e_modulus : Known
        Young's modulus. [MPa]
    family : str
        Key into the speed and feed table, e.g. ``alloy-steel``.
    hb_range : tuple of float
        Hardness from least to most that it usually has as delivered. [HB]
    chips : ChipClass
        How its chip comes off.
    edge_window : tuple of float, optional
        Cutting speeds between which a built-up edge grows; None where none is known. [m/min]
    kc_system : KcSystem
        Which tables `kc11` and `mc` belong to.
    notes : tuple of str
        What a person should know of how this material was understood.
    """

    name: str
    aliases: tuple[str, ...]
    iso513: str
    kc11: Known
    mc: Known
    hardness_hb: Known
    alpha: Known
    e_modulus: Known
    family: str
    hb_range: tuple[float, float] = (0.0, math.inf)
    chips: ChipClass = ChipClass.MEDIUM
    edge_window: tuple[float, float] | None = None
    kc_system: KcSystem = KcSystem.CLASSIC
    notes: tuple[str, ...] = ()
