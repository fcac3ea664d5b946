"""What a sample of a lot means, in words, and of plates that hold several holes each."""

from __future__ import annotations

from dataclasses import dataclass

from holewright.errors import OutOfRangeError
from holewright.proof.sampling import (
    LotStatement,
    holes_needed_in_lot,
    lot_statement,
    outside_allowed,
    outside_upper,
)
from holewright.shares import share_as_asked


@dataclass(frozen=True)
class PlatesStatement:
    """What plates that were checked whole say of a lot of plates.

    Parameters
    ----------
    plates : LotStatement
        In plates: a plate is bad if any of its holes is outside.
    holes_a_plate : int
        Holes of each plate. [-]
    holes_outside_upper : int
        Most holes of the lot that may be outside, were every hole of a bad plate bad. [-]
    """

    plates: LotStatement
    holes_a_plate: int
    holes_outside_upper: int


def say_sample(
    lot: int, checked: int, bad: int = 0, confidence: float = 0.95, *, inside: float = 0.99
) -> str:
    """Return in words what a random sample says of its lot.

    Parameters
    ----------
    lot, checked, bad : int
        Items in the lot, checked, and found outside. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]
    inside : float
        Share that somebody would like to claim, for what it would take to. [-]

    Returns
    -------
    str
        Three or four short sentences.

    Raises
    ------
    OutOfRangeError
        If the counts, the confidence or the share can't be.

    Examples
    --------
    >>> print(say_sample(125, 6))
    6 of 125 holes were checked, none of them outside. 95 % sure: at most 48 of the 125 are \
outside, all of them among the 119 that nobody checked. Of a process without end it says that \
at most 39.4 % are outside. To show 99 % inside, check 97 of the 125, all good.
    """
    said = lot_statement(lot, checked, bad, confidence)
    sure = f"{share_as_asked(confidence)} sure"
    found = "none of them" if bad == 0 else f"{bad:,} of them"
    text = [f"{checked:,} of {lot:,} holes were checked, {found} outside."]
    if checked == lot:
        return f"{text[0]} That is the whole lot: nothing is left to chance."
    rest = lot - checked
    if said.unchecked_outside_upper == 0:
        text.append(f"{sure}: none of the {rest:,} that nobody checked is outside.")
    elif bad == 0:
        text.append(
            f"{sure}: at most {said.outside_upper:,} of the {lot:,} are outside, all of them among "
            f"the {rest:,} that nobody checked."
        )
    else:
        text.append(
            f"{sure}: at most {said.outside_upper:,} of the {lot:,} are outside, "
            f"{said.unchecked_outside_upper:,} of them among the {rest:,} that nobody checked."
        )
    # Rounded up: a bound must stay one.
    process = outside_upper(bad, checked, confidence)
    tenths = -int(-process * 1000 // 1)
    text.append(f"Of a process without end it says that at most {tenths / 10:g} % are outside.")
    allowed = outside_allowed(lot, inside)
    if bad <= allowed < said.outside_upper:
        need = holes_needed_in_lot(lot, allowed, confidence, bad)
        condition = "all good" if bad == 0 else "and find no more outside"
        text.append(
            f"To show {share_as_asked(inside)} inside, check {need:,} of the {lot:,}, {condition}."
        )
    return " ".join(text)


def plates_statement(
    plates: int,
    checked: int,
    holes_a_plate: int,
    bad_plates: int = 0,
    confidence: float = 0.95,
) -> PlatesStatement:
    """Return what plates checked whole say of a lot of plates.

    Parameters
    ----------
    plates : int
        Plates in the lot. [-]
    checked : int
        Plates drawn at random, all holes of each gauged. [-]
    holes_a_plate : int
        Holes of each plate, at least 1. [-]
    bad_plates : int
        Plates among them with any hole outside. [-]
    confidence : float
        One-sided confidence, between 0 and 1. [-]

    Raises
    ------
    OutOfRangeError
        If the counts or the confidence can't be.

    Notes
    -----
    Holes of one plate were made by one tool within a minute: they are alike. Twenty-four holes on
    six plates are six plates, not a random sample of twenty-four holes, and counting holes
    would claim more than was seen.

    Examples
    --------
    Six of 125 plates with four holes each, all good:

    >>> said = plates_statement(125, 6, 4)
    >>> said.plates.outside_upper, said.holes_outside_upper
    (48, 192)
    """
    if holes_a_plate < 1:
        raise OutOfRangeError("holes_a_plate", holes_a_plate, "at least 1")
    said = lot_statement(plates, checked, bad_plates, confidence)
    return PlatesStatement(said, holes_a_plate, said.outside_upper * holes_a_plate)
