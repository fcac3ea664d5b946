"""How the proof room says shares, counts and names of holes."""

from __future__ import annotations

import math
from collections.abc import Sequence

_NAMES_SHOWN = 6


def share_at_least(share: float) -> str:
    """Return a share in per cent, never rounded up: what is shown must stay shown.

    Examples
    --------
    >>> share_at_least(0.98999), share_at_least(0.995), share_at_least(0.99987), share_at_least(1)
    ('98.9 %', '99.5 %', '99.9 %', '100 %')
    """
    if share >= 1:
        return "100 %"
    # One place to begin with; past 99.99 % one more for each further nine.
    places = max(1, math.floor(-math.log10(1 - share) + 1e-9) - 2)
    scale = 10.0**places
    return f"{math.floor(share * 100 * scale + 1e-6) / scale:.{places}f} %"


def share_at_most(share: float) -> str:
    """Return a share in per cent, never rounded down: an upper bound must stay one.

    Examples
    --------
    >>> share_at_most(0.0951), share_at_most(0.000121), share_at_most(0.0), share_at_most(1.0)
    ('9.6 %', '0.013 %', '0 %', '100 %')
    """
    if not 0 < share < 1:
        return "0 %" if share <= 0 else "100 %"
    places = max(1, 1 - math.floor(math.log10(share * 100) + 1e-9))
    scale = 10.0**places
    return f"{math.ceil(share * 100 * scale - 1e-6) / scale:.{places}f} %"


def share_as_asked(share: float) -> str:
    """Return a share that somebody asked for, as they would write it: ``99 %``, ``99.73 %``."""
    return f"{share * 100:.6g} %"


def holes(count: int) -> str:
    """Return ``1 hole`` or ``5 holes``."""
    return f"{count:,} hole" if count == 1 else f"{count:,} holes"


def named(names: Sequence[str]) -> str:
    """Return the names of holes as a person lists them.

    Examples
    --------
    >>> named(["7"]), named(["3", "7", "9"])
    ('hole 7', 'holes 3, 7 and 9')
    """
    if len(names) == 1:
        return f"hole {names[0]}"
    if len(names) > _NAMES_SHOWN:
        shown = ", ".join(names[:_NAMES_SHOWN])
        return f"holes {shown} and {len(names) - _NAMES_SHOWN} more"
    return f"holes {', '.join(names[:-1])} and {names[-1]}"
