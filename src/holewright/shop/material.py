"""Work materials."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.uncertainty import Known


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
    notes: tuple[str, ...] = ()
