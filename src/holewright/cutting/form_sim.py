"""A reamer cut by cut: the wall that teeth, margins and a slim shank leave together.

Where :mod:`holewright.cutting.whirl` asks whether a small whirl grows, this follows it until
teeth leave the cut and margins lose touch, and records the wall. Motion is quasi-static: tool
stiffness against the forces of all teeth at each small turn. The lead is taken as one point in
depth; tilt, land, helix, entry and exit are left out.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from holewright.cutting.form_steps import compiled, follow
from holewright.cutting.process_stiffness import USUAL_CONTACT, Contact
from holewright.errors import OutOfRangeError

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_WORTH_COMPILING = 20_000
"""Steps from which compiling, some 1 s, takes less than it saves. [-]"""


@dataclass(frozen=True)
class ReamingCase:
    """One reamer in one hole.

    Parameters
    ----------
    stiffness : float
        Side stiffness at the lead. [N/mm]
    K_t : float
        Tangential cutting coefficient. [N/mm²]
    f : float
        Feed per revolution. [mm/rev]
    a_p : float
        Stock per side. [mm]
    KAPR : float
        Lead angle, less than 90. [deg]
    spacing : tuple of float
        Angles of the teeth, rising, from 0 to under 360. [deg]
    tooth_error : tuple of float
        Radial error of each tooth; empty for a true tool. [mm]
    eccentricity : float
        Half the TIR at the lead. [mm]
    offset : complex
        Where the drilled hole lies beside the spindle, x + iy. [mm]
    drilled_lobes : tuple of (int, float)
        Number and amplitude of lobes of the drilled hole. [mm]
    spring_back : float
        How much the wall springs back onto the margins. [mm]
    contact : Contact
        Constants of edge and margin.
    """

    stiffness: float
    K_t: float
    f: float
    a_p: float
    KAPR: float
    spacing: tuple[float, ...]
    tooth_error: tuple[float, ...] = ()
    eccentricity: float = 0.0
    offset: complex = 0.0
    drilled_lobes: tuple[tuple[int, float], ...] = ()
    spring_back: float = 0.001
    contact: Contact = field(default=USUAL_CONTACT)

    def __post_init__(self) -> None:
        angles = np.asarray(self.spacing)
        if not ((np.diff(angles) > 0).all() and angles[0] >= 0 and angles[-1] < 360):
            raise OutOfRangeError("spacing", self.spacing, "angles rising from 0 to under 360")
        if self.tooth_error and len(self.tooth_error) != len(self.spacing):
            raise OutOfRangeError("tooth_error", len(self.tooth_error), "one value a tooth")
        if not 0 < self.KAPR < 90:
            raise OutOfRangeError("KAPR", self.KAPR, "more than 0 and less than 90")


@dataclass(frozen=True)
class ReamedWall:
    """The wall, one outline a revolution of feed.

    Parameters
    ----------
    outlines : ndarray
        Radius of the wall over that of the tool, shape (revolutions, points). [mm]
    path : ndarray of complex
        Deflection x + iy of the tool at each step. [mm]
    """

    outlines: Array
    path: NDArray[np.complex128]

    @property
    def oversize(self) -> Array:
        """Mean diameter over that of the tool, one a revolution. [mm]"""
        return np.asarray(2 * self.outlines.mean(axis=1))

    @property
    def axis(self) -> NDArray[np.complex128]:
        """Centre x + iy of the least-squares circle, one a revolution. [mm]"""
        angle = 2 * np.pi * np.arange(self.outlines.shape[1]) / self.outlines.shape[1]
        return np.asarray(2 * (self.outlines * np.exp(1j * angle)).mean(axis=1))

    def lobe_amplitude(self, lobes: int) -> Array:
        """Return the amplitude of a number of lobes, one a revolution.

        Parameters
        ----------
        lobes : int
            Undulations around the hole, 1 or more. [-]

        Returns
        -------
        ndarray
            Amplitude of that harmonic of the radius. [mm]
        """
        spectrum = np.fft.rfft(self.outlines, axis=1)
        return np.asarray(2 * np.abs(spectrum[:, lobes]) / self.outlines.shape[1])


def simulate_reaming(
    case: ReamingCase,
    revolutions: int,
    *,
    points: int = 360,
    nudge: complex = 1e-6,
    compile_steps: bool | None = None,
) -> ReamedWall:
    r"""Return the wall that a reamer leaves, followed step by step.

    At each step the deflection q solves

    .. math::
        k q = -\sum_i (K_r n_i + K_t t_i) b_i h_i + (K_{re} n_i + K_{te} t_i) b_i
        + (n_i + \mu t_i) P_i

    where h is measured from the highest of all earlier passes at the same angle, so that teeth
    may cut air, and P from what the same edge left a margin's width ago, so that margins may
    lose touch.

    Parameters
    ----------
    case : ReamingCase
        Reamer and hole.
    revolutions : int
        Turns to follow, in full engagement from the first.
    points : int
        Steps in a turn; teeth are moved to the nearest. [-]
    nudge : complex
        A side push over the first tenth of a turn, as the deflection x + iy that it would
        give the free tool: a true reamer in a true hole would never start to whirl. [mm]
    compile_steps : bool, optional
        Whether to compile the steps, which takes numba; by default where it is installed and
        the run is long enough to pay. The wall is the same.

    Returns
    -------
    ReamedWall
        Outlines and path.

    Raises
    ------
    OutOfRangeError
        If there are fewer points than 20 a tooth.

    Notes
    -----
    Directions and thresholds agree with linear theory; amplitudes are limited by one-sided
    contact alone and are not to be trusted. Some 40 µs a step, a hundredth of that compiled.

    References
    ----------
    .. [1] P.V. Bayly et al., J. Manuf. Sci. Eng. 123 (2001) 387, for the kind of model
       (abstract); equations derived here.
    """
    teeth = len(case.spacing)
    if points < 20 * teeth:
        raise OutOfRangeError("points", points, f"{20 * teeth} or more for {teeth} teeth")
    contact = {name: float(np.asarray(value)) for name, value in vars(case.contact).items()}
    kappa = np.radians(case.KAPR)
    sin, cos = np.sin(kappa), np.cos(kappa)
    step = 2 * np.pi / points
    grid = step * np.arange(points)
    radial = np.stack([np.cos(grid), np.sin(grid)], axis=-1)
    place: Index = np.rint(np.radians(case.spacing) / step).astype(np.intp)

    error = np.asarray(case.tooth_error or np.zeros(teeth)) + case.eccentricity * radial[place, 0]
    drilled = (case.offset * np.exp(-1j * grid)).real
    for lobes, amplitude in case.drilled_lobes:
        drilled = drilled + amplitude * np.cos(lobes * grid)

    # Steady cutting before the first step: each angle was last passed by the tooth ahead.
    since = ((place[:, None] - np.arange(points) - 1) % points + 1).min(axis=0)
    top = -case.f * since / points * sin
    left = np.repeat(error[:, None], points, axis=1)

    width = max(1, round(contact["margin_angle"] / step))
    weight = np.full(width, 1 / width)
    weight[-1] /= 2
    K_r = contact["normal_share"] * case.K_t * cos
    inputs = (
        top,
        left,
        radial[:, 0],
        radial[:, 1],
        place,
        error,
        drilled,
        weight,
        case.f,
        sin,
        cos,
        case.a_p,
        K_r,
        case.K_t,
        contact["edge_normal"] * cos,
        contact["edge_tangential"],
        contact["margin_stiffness"],
        contact["friction"],
        case.stiffness,
        case.spring_back,
        case.spring_back / (2 * width),
        case.stiffness * nudge.real,
        case.stiffness * nudge.imag,
    )
    return _follow(inputs, revolutions, points, compile_steps)


def _follow(
    inputs: tuple[Array | Index | float, ...],
    revolutions: int,
    points: int,
    compile_steps: bool | None,
) -> ReamedWall:
    """Return the wall, compiled where that is possible and asked for, or long enough to pay."""
    steps = revolutions * points
    wanted = steps > _WORTH_COMPILING if compile_steps is None else compile_steps
    fast = compiled() if wanted else None
    if fast is not None:
        wall = np.full((revolutions, points), -np.inf)
        x, y = np.empty(steps), np.empty(steps)
        fast(wall, x, y, *(one if isinstance(one, np.ndarray) else float(one) for one in inputs))
        return ReamedWall(wall, x + 1j * y)
    rows = [[-np.inf] * points for _ in range(revolutions)]
    path_x, path_y = [0.0] * steps, [0.0] * steps
    plain = (one.tolist() if isinstance(one, np.ndarray) else float(one) for one in inputs)
    follow(rows, path_x, path_y, *plain)
    return ReamedWall(np.array(rows), np.array(path_x) + 1j * np.array(path_y))
