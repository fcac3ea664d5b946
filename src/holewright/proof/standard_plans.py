"""Single sampling plans of ISO 2859-1, normal inspection, by lot size and AQL."""

from __future__ import annotations

from holewright.errors import InputError, OutOfRangeError
from holewright.proof.plans import Plan
from holewright.reference.tables import table


def code_letter(lot: int, level: str = "II") -> str:
    """Return the code letter of ISO 2859-1 for a lot.

    Parameters
    ----------
    lot : int
        Items in the lot, at least 2. [-]
    level : str
        General inspection level: I, II or III.

    Raises
    ------
    OutOfRangeError
        If the lot is below 2.
    InputError
        If the level isn't one of the three.

    References
    ----------
    .. [1] ISO 2859-1:1999, table 1; the same letters as MIL-STD-105E, table I.

    Examples
    --------
    >>> code_letter(125), code_letter(1000)
    ('F', 'J')
    """
    if lot < 2:
        raise OutOfRangeError("lot", lot, "at least 2")
    columns = ("level", "lot_from", "lot_to", "letter")
    rows = [r for r in table("sampling_code_letters", columns) if r["level"] == level]
    if not rows:
        raise InputError("level", level, "must be I, II or III")
    for row in rows:
        if int(row["lot_from"]) <= lot and (not row["lot_to"] or lot <= int(row["lot_to"])):
            return row["letter"]
    raise OutOfRangeError("lot", lot, "in the table")


def standard_plan(lot: int, aql: float, level: str = "II") -> Plan:
    """Return the plan of ISO 2859-1, single sampling, normal inspection.

    Parameters
    ----------
    lot : int
        Items in the lot, at least 2. [-]
    aql : float
        Acceptance quality limit in per cent nonconforming, as tabled: 1.0, 0.65. [%]
    level : str
        General inspection level: I, II or III.

    Returns
    -------
    Plan
        Sample, acceptance number and the letter it stands at. Where the sample would be
        the lot or more, the whole lot is to be checked: n is the lot.

    Raises
    ------
    OutOfRangeError
        If the lot is below 2.
    InputError
        If the level or the AQL isn't tabled.

    Notes
    -----
    Where a letter has no plan at this AQL, the table's arrow leads to the next that has.
    The standard's switching rules (tightened, reduced) are part of its protection and are
    not worked here. An AQL says nothing of the lot just passed: see
    :func:`~holewright.proof.plans.quality_accepted` for what a plan lets through.

    References
    ----------
    .. [1] ISO 2859-1:1999, tables 1 and 2-A; the same plans as MIL-STD-105E.

    Examples
    --------
    A lot of 250 is letter G, but at AQL 1.0 its arrow points to H:

    >>> standard_plan(250, 1.0)
    Plan(n=50, c=1, letter='H')
    """
    rows = table("sampling_plans", ("letter", "n", "aql", "c"))
    sizes = {row["letter"]: int(row["n"]) for row in rows}
    letters = sorted(sizes)
    plans = {row["letter"]: int(row["c"]) for row in rows if float(row["aql"]) == aql}
    if not plans:
        tabled = sorted({float(row["aql"]) for row in rows})
        raise InputError("aql", aql, f"must be one of {', '.join(f'{a:g}' for a in tabled)}")
    letter = _after_arrow(code_letter(lot, level), letters, plans)
    n = sizes[letter]
    return Plan(min(n, lot), plans[letter], letter)


def _after_arrow(letter: str, letters: list[str], plans: dict[str, int]) -> str:
    """Follow the arrows of table 2-A to a letter that has a plan."""
    if letter in plans:
        return letter
    first = next(name for name, c in plans.items() if c == 0)
    last = max(plans)
    at = letters.index(letter) - letters.index(first)
    if at == 1:  # just behind the plan with c = 0 the arrow points back to it
        return first
    if letter > last:
        return last
    return min(name for name in plans if name > letter)
