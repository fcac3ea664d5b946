"""Reads what time, parts and orders cost out of the table [costs] of a job file."""

from __future__ import annotations

from dataclasses import fields as fields_of
from dataclasses import replace

from holewright.jobs.fields import Fields, number, optional, refuse_unknown, share
from holewright.planning.economy import Economy

COST_KEYS = tuple(field.name for field in fields_of(Economy))
_ALL_OR_NONE = {"0": 0.0, "0%": 0.0, "1": 1.0, "100%": 1.0}


def read_economy(fields: Fields) -> Economy:
    """Return the costs of a job; what the table leaves out is assumed.

    Parameters
    ----------
    fields : Fields
        The table ``[costs]``. Money is in the shop's currency, times in seconds.

    Raises
    ------
    InputError
        If a key is unknown or its value can't be used.
    """
    refuse_unknown(fields, COST_KEYS)
    usual = Economy()
    return replace(
        usual,
        **{
            key: optional(
                fields, key, _gauged if key == "gauged_share" else number, getattr(usual, key)
            )
            for key in COST_KEYS
        },
    )


def _gauged(fields: Fields, key: str) -> float:
    """Return the share of holes that are checked: also none of them, or all."""
    written = str(fields.values[key]).replace(" ", "")
    return _ALL_OR_NONE[written] if written in _ALL_OR_NONE else share(fields, key)
