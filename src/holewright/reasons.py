"""Why something was refused, withheld, or needs care."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Reason:
    """One reason, for a machine and for a machinist.

    Parameters
    ----------
    code : str
        Short machine-readable name in lower case with hyphens, e.g. ``runout-over-third``.
    text : str
        The sentence that a machinist reads. It names the value and the limit in it.
    value, limit : float, optional
        The value found and the limit it was held against, in `unit`.
    unit : str, optional
        Unit of both. [mm by default]
    """

    code: str
    text: str
    value: float | None = None
    limit: float | None = None
    unit: str = "mm"

    def __str__(self) -> str:
        """Return the sentence."""
        return self.text
