"""Reads what a treatment does to the walls of a hole, as a finisher says it."""

from __future__ import annotations

import re

from holewright.callout.callout import Growth
from holewright.errors import InputError
from holewright.jobs.fields import Fields, refuse, text
from holewright.units import read_length

_MOST = 0.5
"""Growth of a wall beyond which a slip of the unit is likelier. [mm]"""

_FORM = (
    'must be a growth with its doubt, such as "0.001 in a side, doubt 0.0002 in", '
    '"20 to 30 µm a side", or "50 µm on diameter, doubt 0"'
)
_GROWTH = re.compile(
    r"(?P<growth>[^,]+?)\s*(?:\bto\b\s*(?P<most>[^,]+?)\s*)?"
    r"(?:(?P<side>\b(?:a|per|each)\s+(?:side|wall)\b)|(?P<diameter>\bon\s+(?:the\s+)?diameter\b))"
    r"\s*(?:[,;]?\s*(?:doubt|give or take|±|\+/-)\s*(?P<doubt>.+))?",
    re.IGNORECASE,
)
_UNIT = re.compile(r"[^\d\s.,+-].*$")


def read_growth(fields: Fields, key: str) -> Growth:
    """Return the growth of each wall, with its doubt.

    Parameters
    ----------
    fields : Fields
        The table that holds the key.
    key : str
        Its name.

    Returns
    -------
    Growth
        Per side. [mm]

    Raises
    ------
    InputError
        If it says no growth, not whether a side or on diameter, or no doubt.
    """
    written = text(fields, key)
    match = _GROWTH.fullmatch(written)
    if match is None:
        refuse(fields, key, _FORM)
    half = 2.0 if match["diameter"] else 1.0
    if match["most"]:
        if match["doubt"]:
            refuse(fields, key, "must have a range or a doubt, not both")
        low, high = _range(fields, key, match["growth"], match["most"])
        growth, doubt = (low + high) / 2, (high - low) / 2
    elif match["doubt"]:
        growth = _length(fields, key, match["growth"])
        doubt = 0.0 if match["doubt"].strip() == "0" else _length(fields, key, match["doubt"])
    else:
        refuse(fields, key, f"says no doubt; {_FORM}; write doubt 0 if it is exact")
    if doubt < 0 or max(abs(growth), doubt) / half > _MOST:
        refuse(fields, key, f"must be a growth of {_MOST:g} mm a side at most, its doubt 0 or more")
    return Growth(growth / half, doubt / half)


def _range(fields: Fields, key: str, low: str, high: str) -> tuple[float, float]:
    """Return both ends; the unit may stand behind the second alone."""
    unit = _UNIT.search(high)
    if unit and not _UNIT.search(low):
        low = f"{low} {unit[0]}"
    ends = _length(fields, key, low), _length(fields, key, high)
    if not ends[0] < ends[1]:
        refuse(fields, key, "must name the lesser growth first")
    return ends


def _length(fields: Fields, key: str, written: str) -> float:
    try:
        return read_length(written, fields.unit, key)
    except InputError as error:
        raise InputError(key, fields.values[key], error.accepted, fields.place(key)) from None
