"""Whether a reamer whirls, how fast that grows, and how many lobes it leaves.

Cut and margins can feed a slow wandering of the reamer's axis, a few times in a revolution,
nearly backward or forward against the rotation. If it grows, the hole comes out with one lobe
more or less than the reamer has teeth. The motion is taken as small and without inertia,
q = Q exp(s φ); its roots s say all: real part growth, imaginary part turns in a revolution.

These are theoretical results from guessed margin constants: good for comparing set-ups, not
for promising a lobe height.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from holewright.cutting.process_stiffness import (
    USUAL_CONTACT,
    Contact,
    mean_decay,
    process_stiffness,
)
from holewright.errors import OutOfRangeError

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]

_STEPS = 25
_STRIDE = 0.4
"""Greatest Newton step, so that a start finds the root beside it."""

_PROBE = 1e-7

_EVEN_STARTS = np.array([0.6, 0.75, 0.85, 0.95, 1.05, 1.75, 1.85, 1.95, 2.05])
"""Turns in a revolution over teeth, where roots of even spacing lie: near 1 and near 2."""

_FAR_START = -0.3
"""Real part of the second row of starts, for roots that die out fast."""

_GRID_STARTS = np.array([0.8, 0.95, 1.95])
_GRID_STEPS = 12
"""Fewer starts and steps for a whole grid: they lose no root that grows by over 0.75."""

DIES_OUT = 0.5
"""Growth in a revolution said where a grid finds no root: whirl dies out at once. [-]"""


@dataclass(frozen=True)
class Whirl:
    """The leading whirl of a reamer.

    Parameters
    ----------
    root : ndarray of complex
        Root s of the motion as seen from the machine; NaN where none was found. [1/rad]
    """

    root: Complex

    @property
    def growth_per_revolution(self) -> Array:
        """Factor by which the whirl grows in a revolution; over 1 it builds up. [-]"""
        growth: Array = np.exp(2 * np.pi * self.root.real)
        return growth

    @property
    def turns_per_revolution(self) -> Array:
        """How often the axis goes round in a revolution; negative backward. [-]"""
        turns: Array = self.root.imag
        return turns

    @property
    def lobes(self) -> Array:
        """Lobes that the hole would have. [-]"""
        count: Array = np.rint(np.abs(self.root.imag - 1))
        return count


def even_whirl(
    stiffness: ArrayLike,
    *,
    K_t: ArrayLike,
    f: ArrayLike,
    a_p: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
    contact: Contact = USUAL_CONTACT,
    forward: bool | None = None,
    cycles: int | None = None,
) -> Whirl:
    r"""Return the leading whirl of reamers with evenly spaced teeth.

    The root with the greatest real part of

    .. math:: k + Z(s) = 0

    with Z of :func:`holewright.cutting.process_stiffness.process_stiffness`.

    Parameters
    ----------
    stiffness : array_like
        Side stiffness k of reamer and holder at the lead, more than 0. [N/mm]
    K_t : array_like
        Tangential cutting coefficient: k_c at the chip thickness of the cut. [N/mm²]
    f : array_like
        Feed per revolution. [mm/rev]
    a_p : array_like
        Stock per side. [mm]
    ZEFP : array_like
        Teeth N, 3 or more. [-]
    KAPR : array_like
        Lead angle, less than 90. [deg]
    contact : Contact
        Constants of edge and margin.
    forward : bool, optional
        Only forward or only backward whirl; the leading of both if left out.
    cycles : int, optional
        Only whirl near 1 or near 2 turns a revolution for each tooth; the leading of both if
        left out.

    Returns
    -------
    Whirl
        In the broadcast shape of the inputs.

    Raises
    ------
    OutOfRangeError
        If a reamer has fewer than 3 teeth.

    Notes
    -----
    Roots are sought up to 2.3 N turns in a revolution, where tests have seen N and 2 N. The
    motion is small: how high the lobes become is not in it.

    References
    ----------
    .. [1] P.V. Bayly, K.A. Young, S.G. Calvert, J.E. Halley, "Analysis of tool oscillation and
       hole roundness error in a quasi-static model of reaming", J. Manuf. Sci. Eng. 123 (2001)
       387-396, doi 10.1115/1.1383551, for the kind of model (abstract); equation derived here.
    """
    cut = {"K_t": K_t, "f": f, "a_p": a_p, "ZEFP": ZEFP, "KAPR": KAPR}
    teeth = np.asarray(ZEFP, dtype=np.float64)
    turns = np.concatenate([-_EVEN_STARTS, _EVEN_STARTS])
    if forward is not None:
        turns = turns[(turns > 0) == forward]
    s, good = _even_roots(stiffness, cut, contact, turns, (0.0, _FAR_START), _STEPS)
    if forward is not None:
        good &= (s.imag > 0) == forward
    if cycles is not None:
        good &= np.abs(np.abs(s.imag) / teeth[..., None] - cycles) < 0.5
    return Whirl(_leading(s, good))


def whirl_growth(
    stiffness: ArrayLike,
    *,
    K_t: ArrayLike,
    f: ArrayLike,
    a_p: ArrayLike,
    ZEFP: ArrayLike,
    KAPR: ArrayLike,
    contact: Contact = USUAL_CONTACT,
) -> Array:
    """Return the growth of whirl in a revolution over a whole grid, ten times as fast.

    Parameters
    ----------
    stiffness, K_t, f, a_p, ZEFP, KAPR, contact
        As in :func:`even_whirl`.

    Returns
    -------
    ndarray
        Growth; at least 0.5, which stands for whirl that dies out at once. [-]

    Raises
    ------
    OutOfRangeError
        If a reamer has fewer than 3 teeth.

    Notes
    -----
    The same equation as :func:`even_whirl` from fewer starts. Against it, over 3000 set-ups at
    random, growth above 0.75 was the same in all; below, roots that die out fast are lost.
    """
    cut = {"K_t": K_t, "f": f, "a_p": a_p, "ZEFP": ZEFP, "KAPR": KAPR}
    turns = np.concatenate([-_GRID_STARTS, _GRID_STARTS])
    root = _leading(*_even_roots(stiffness, cut, contact, turns, (0.0,), _GRID_STEPS))
    growth = Whirl(root).growth_per_revolution
    return np.fmax(growth, DIES_OUT)


def _even_roots(
    stiffness: ArrayLike,
    cut: dict[str, ArrayLike],
    contact: Contact,
    turns: Array,
    damping: tuple[float, ...],
    steps: int,
) -> tuple[Complex, NDArray[np.bool_]]:
    """Return where Newton's steps end from all starts, on a last axis, and whether at a root."""
    k = np.asarray(stiffness, dtype=np.float64)
    teeth = np.asarray(cut["ZEFP"], dtype=np.float64)
    if not (teeth >= 3).all():
        raise OutOfRangeError("ZEFP", float(teeth.min()), "3 or more")
    shape = np.broadcast_shapes(
        *(np.shape(x) for x in (stiffness, *cut.values(), *vars(contact).values()))
    )
    each = {name: np.asarray(value)[..., None] for name, value in cut.items()}
    spread = Contact(**{name: np.asarray(v)[..., None] for name, v in vars(contact).items()})

    def balance(s: Complex) -> Complex:
        z: Complex = k[..., None] + process_stiffness(s, contact=spread, **each)
        return z / k[..., None]

    starts = np.broadcast_to(teeth[..., None], (*shape, 1)) * 1j * turns
    s, good = _newton(balance, np.concatenate([starts + real for real in damping], axis=-1), steps)
    return s, good & (np.abs(s.imag) > 2.0) & (np.abs(s.imag) < 2.3 * teeth[..., None])


def uneven_whirl(
    stiffness: float,
    *,
    spacing: ArrayLike,
    K_t: float,
    f: float,
    a_p: float,
    KAPR: float,
    contact: Contact = USUAL_CONTACT,
) -> Whirl:
    r"""Return the leading whirl of one reamer with given tooth angles.

    Seen from the tool, the root with the greatest real part of det M(s) = 0, where

    .. math::
        M(s) = k I + \sum_i (K_r n_i + K_t t_i)\bigl[f_i n_i + a_p \cot\kappa
        (n_i - n_{i+1} e^{-s g_i})\bigr]^T + \frac{(K_{re} n_i + K_{te} t_i) n_i^T}{\sin\kappa}
        + k_m (n_i + \mu t_i)\overline{\bigl[n(\psi_i - x) - e^{-sx} n(\psi_i)\bigr]}^T

    with n and t the directions outward and along the cut at tooth i, g the gap to the tooth
    ahead, and f_i = f g_i / 2π.

    Parameters
    ----------
    stiffness : float
        Side stiffness k of reamer and holder at the lead, more than 0. [N/mm]
    spacing : array_like
        Angles of the teeth, rising, from 0 to under 360; 3 or more. [deg]
    K_t : float
        Tangential cutting coefficient. [N/mm²]
    f : float
        Feed per revolution. [mm/rev]
    a_p : float
        Stock per side. [mm]
    KAPR : float
        Lead angle, less than 90. [deg]
    contact : Contact
        Constants of edge and margin.

    Returns
    -------
    Whirl
        The leading root, as seen from the machine.

    Raises
    ------
    OutOfRangeError
        If the angles don't rise, or are fewer than 3.

    Notes
    -----
    For judging a spacing that a reamer has; not for designing one. Uneven teeth don't trace
    one common outline: the number of lobes is the nearest whole number only.
    """
    psi = np.radians(np.asarray(spacing, dtype=np.float64))
    gaps = np.diff(psi, append=psi[:1] + 2 * np.pi)
    if psi.size < 3 or not (gaps > 0).all() or psi[0] < 0:
        raise OutOfRangeError("spacing", spacing, "3 or more angles rising from 0 to under 360")
    kappa = np.radians(KAPR)
    n = np.stack([np.cos(psi), np.sin(psi)], axis=-1)
    t = np.stack([-np.sin(psi), np.cos(psi)], axis=-1)
    K_r = np.cos(kappa) * float(np.asarray(contact.normal_share)) * K_t
    force = K_r * n + K_t * t
    edge = (
        np.asarray(contact.edge_normal) * np.cos(kappa) * n
        + np.asarray(contact.edge_tangential) * t
    ) / np.sin(kappa)
    rub = np.asarray(contact.margin_stiffness) * (n + np.asarray(contact.friction) * t)
    width = np.asarray(contact.margin_angle)
    own = (f * gaps / (2 * np.pi) + a_p / np.tan(kappa))[:, None] * n
    fixed = stiffness * np.eye(2) + force.T @ own + edge.T @ n
    regeneration = a_p / np.tan(kappa) * np.roll(n, -1, axis=0)
    # n(ψ - x) and n(ψ) seen a moment later, each as a sum of two turning unit vectors.
    right, left = np.exp(1j * psi)[:, None] * [1, -1j] / 2, np.exp(-1j * psi)[:, None] * [1, 1j] / 2
    now = mean_decay(1j * width) * right + mean_decay(-1j * width) * left

    def matrix(s: Complex) -> Complex:
        lag = np.exp(-s[..., None] * gaps)
        ahead = np.einsum("ia,...i,ib->...ab", force, lag, regeneration)
        left_there = mean_decay(s * width)[..., None, None] * n
        margin = np.einsum("ia,...ib->...ab", rub, now - left_there)
        whole: Complex = fixed - ahead + margin
        return whole

    def balance(s: Complex) -> Complex:
        determinant: Complex = np.linalg.det(matrix(s))
        return determinant / stiffness**2

    turns = np.linspace(1.5, 2.2 * psi.size, 60)
    s, good = _newton(balance, np.concatenate([1j * turns, 1j * turns + _FAR_START]), _STEPS)
    good &= (s.imag > 1.0) & (s.imag < 2.3 * psi.size)
    root = _leading(s, good)
    (xx, xy), (yx, yy) = matrix(root)
    # The two rows of the null vector are the same line; the longer is the surer.
    x, y = (-xy, xx) if abs(xx) + abs(xy) > abs(yx) + abs(yy) else (yy, -yx)
    turns_forward = abs(x + 1j * y) > abs(x - 1j * y)
    return Whirl(np.asarray((root if turns_forward else np.conj(root)) + 1j))


def _newton(
    balance: Callable[[Complex], Complex], starts: Complex, steps: int
) -> tuple[Complex, NDArray[np.bool_]]:
    """Return where Newton's steps from each start end, and whether that is a root."""
    s = starts.astype(np.complex128)
    for _ in range(steps):
        value = balance(s)
        slope = (balance(s + _PROBE) - value) / _PROBE
        step = value / np.where(slope == 0, 1.0, slope)
        s = s - step * np.minimum(1.0, _STRIDE / np.maximum(np.abs(step), 1e-300))
    return s, np.abs(balance(s)) < 1e-8


def _leading(s: Complex, good: NDArray[np.bool_]) -> Complex:
    """Return, along the last axis, the good root with the greatest real part."""
    ranked = np.where(good, s.real, -np.inf)
    best = np.take_along_axis(s, ranked.argmax(axis=-1)[..., None], axis=-1)[..., 0]
    root: Complex = np.where(good.any(axis=-1), best, complex(np.nan, np.nan))
    return root
