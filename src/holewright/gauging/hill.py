"""The log likelihood seen from above: a height over every mean and sd, the rest at its best."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holewright.gauging.density import Density, best_nuisance, log_density, slopes
from holewright.gauging.size_model import Scaling

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Hill:
    """A profile log likelihood over (mean, sd), with its top.

    Parameters
    ----------
    density : Density
        The model.
    scaling : Scaling
        Its unit.
    top : ndarray
        Parameters at the top.
    """

    density: Density
    scaling: Scaling
    top: Floats

    @property
    def place(self) -> Floats:
        """Mean over sd and 1 over sd at the top, in the scaled unit. [-]"""
        return self.top[[0, self.density.tau]]

    @property
    def summit(self) -> float:
        """Height at the top. [-]"""
        return float(log_density(self.density, self.top))

    @property
    def free(self) -> NDArray[np.intp]:
        """All parameters other than mean and sd."""
        return np.delete(np.arange(self.density.size), [0, self.density.tau])

    @property
    def curvature(self) -> Floats:
        """Hessian of the profile at the top, shape (2, 2). [-]"""
        _, h = slopes(self.density, self.top)
        keep, free = np.array([0, self.density.tau]), self.free
        both: Floats = h[np.ix_(keep, keep)]
        if not free.size:
            return both
        mixed = h[np.ix_(keep, free)]
        bent: Floats = both - mixed @ np.linalg.solve(h[np.ix_(free, free)], mixed.T)
        return bent

    def height(self, place: Floats, start: Floats | None = None) -> tuple[Floats, Floats, Floats]:
        """Return the profile's height and slope at many places, and the parameters there.

        Parameters
        ----------
        place : ndarray
            Mean over sd and 1 over sd, shape (many, 2). [-]
        start : ndarray, optional
            Parameters to start the others from, shape (many, parameters); the top's else.

        Returns
        -------
        height : ndarray
            Shape (many,). [-]
        slope : ndarray
            Its derivatives, shape (many, 2). The others are at their best, so theirs don't
            come in.
        psi : ndarray
            Parameters there.
        """
        tau = self.density.tau
        psi = np.broadcast_to(self.top, (place.shape[0], self.top.size)).copy()
        if start is not None:
            psi = start.copy()
        # Errors and effects keep their size in mm as 1/sd moves.
        with np.errstate(divide="ignore", invalid="ignore"):
            psi[:, self.free] *= (place[:, 1] / psi[:, tau])[:, None]
        psi[:, 0], psi[:, tau] = place.T
        psi, height = best_nuisance(self.density, psi, self.free)
        gradient, _ = slopes(self.density, psi)
        return height, gradient[:, [0, tau]], psi
