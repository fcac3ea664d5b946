"""Corrections of the specific cutting force, by name.

The constants k_c1.1 and m_c were measured in turning with sharp carbide at about 100 m/min. Each
correction stands for one departure from that.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, positive
from holewright.errors import InputError
from holewright.reasons import Reason
from holewright.shop.material import KcSystem

CHIP_COMPRESSION = 1.2
"""Drilling, boring and reaming squeeze the chip more than outside turning (1.0) does."""

WEAR = 1.3
"""A tool near the end of its life; up to 1.5."""


class Substrate(StrEnum):
    """What the edge is made of."""

    HSS = "HSS"
    CARBIDE = "carbide"
    CERAMIC = "ceramic"


TOOL_MATERIAL = {Substrate.HSS: 1.2, Substrate.CARBIDE: 1.0, Substrate.CERAMIC: 0.9}


@dataclass(frozen=True)
class Correction:
    """A product of corrections with its parts.

    Parameters
    ----------
    factors : tuple of (str, ndarray)
        Name and value of each factor. [-]
    notes : tuple of Reason
        What to beware of.
    """

    factors: tuple[tuple[str, Array], ...]
    notes: tuple[Reason, ...] = ()

    @property
    def value(self) -> Array:
        """The product of all factors. [-]"""
        product = np.asarray(1.0)
        for _, factor in self.factors:
            product = product * factor
        return product


def speed_correction(v_c: ArrayLike) -> Array:
    r"""Return the factor for cutting speed.

    .. math:: K_v = 2.023\, v_c^{-0.153} \;(20 \le v_c \le 100), \quad
        1.380\, v_c^{-0.07} \;(v_c > 100)

    Parameters
    ----------
    v_c : array_like
        Cutting speed, more than 0. [m/min]

    Returns
    -------
    ndarray
        Factor, 1 at 100 m/min. Below 20 m/min, where nothing was measured, that at
        20 m/min. [-]

    References
    ----------
    .. [1] Tschätsch, "Praxis der Zerspantechnik", corrections of the cutting force. From
       memory.
    """
    speed = np.maximum(positive("v_c", v_c), 20.0)
    return np.where(speed <= 100.0, 2.023 * speed**-0.153, 1.380 * speed**-0.07)


def rake_correction(rake: ArrayLike, reference: ArrayLike = 6.0) -> Array:
    r"""Return the factor for the rake angle.

    .. math:: K_\gamma = 1 - 0.015 (\gamma - \gamma_0)

    Parameters
    ----------
    rake : array_like
        Rake angle, -20 to 30. [deg]
    reference : array_like
        Rake at which k_c1.1 was measured: 6 for steel, 2 for cast iron. [deg]

    Returns
    -------
    ndarray
        Factor. [-]

    References
    ----------
    .. [1] Tschätsch, "Praxis der Zerspantechnik". From memory.
    """
    return 1 - 0.015 * (between("rake", rake, -20, 30) - between("reference", reference, -10, 10))


def hole_correction(
    substrate: Substrate,
    *,
    v_c: ArrayLike | None = None,
    worn: bool = False,
    data_from_drilling: bool = False,
    system: KcSystem = KcSystem.CLASSIC,
) -> Correction:
    """Return the corrections that a drill or a reamer needs on data from turning.

    Parameters
    ----------
    substrate : Substrate
        What the edge is made of.
    v_c : array_like, optional
        Cutting speed, for the speed factor. Leave it out with HSS: its factor of 1.2 already
        stands for low speed. [m/min]
    worn : bool
        Whether to reckon with a tool near the end of its life.
    data_from_drilling : bool
        Whether k_c1.1 was itself measured in drilling with such a tool; then chip compression
        and tool material are in it, and are left out here.
    system : KcSystem
        Tables that k_c1.1 belongs to.

    Returns
    -------
    Correction
        The factors by name, their product, and what to beware of.

    Raises
    ------
    InputError
        If k_c1.1 is of another system than the classic one: these corrections aren't its own.

    Notes
    -----
    Torque measured with an HSS drill already has both 1.2s in it: to apply them again would
    count them twice. The pair makes 1.44; the handbook method of drilling, which was measured
    with HSS drills, gives a ratio of 1.45 to the uncorrected law for C45.

    References
    ----------
    .. [1] Tschätsch, "Praxis der Zerspantechnik"; Degner, Lutze, Smejkal, "Spanende Formung".
       Both from memory.

    Examples
    --------
    >>> round(float(hole_correction(Substrate.HSS).value), 2)
    1.44
    """
    if system is not KcSystem.CLASSIC:
        raise InputError(
            "system", system, f"must be {KcSystem.CLASSIC}: no corrections belong to another"
        )
    factors: list[tuple[str, Array]] = []
    notes: list[Reason] = []
    if not data_from_drilling:
        factors.append(("chip compression in a hole", np.asarray(CHIP_COMPRESSION)))
        factors.append((f"tool material {substrate}", np.asarray(TOOL_MATERIAL[substrate])))
    if v_c is not None:
        factors.append(("cutting speed", speed_correction(v_c)))
        if substrate is Substrate.HSS and not data_from_drilling:
            notes.append(
                Reason(
                    "correction-counted-twice",
                    "The factor 1.2 for HSS already stands for its low speed; the speed factor "
                    "counts that a second time.",
                    unit="",
                )
            )
    if worn:
        factors.append(("wear", np.asarray(WEAR)))
    return Correction(tuple(factors), tuple(notes))
