"""How shares are said: in per cent, and never rounded to more than was shown."""

from __future__ import annotations

import math


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
