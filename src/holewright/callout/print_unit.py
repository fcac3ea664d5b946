"""Finds out whether a callout is in millimetres or in inches, and says how it was known."""

from __future__ import annotations

from collections.abc import Iterator

from holewright.callout.parts import Number, Parts
from holewright.errors import InputError
from holewright.units import Unit

_NAMES = {Unit.MM: "mm", Unit.INCH: "inches"}


def print_units(parts: Parts, text: str, given: Unit | None) -> dict[Unit, str]:
    """Return the units that a callout can be in, each with how that was known.

    Parameters
    ----------
    parts : Parts
        The callout, taken apart.
    text : str
        The callout as typed, for errors.
    given : Unit, optional
        What the person said the print is in; a unit in the text wins over it. [-]

    Returns
    -------
    dict
        One unit where it is known: with an empty text if the callout names it. Two where the
        person must be asked: each with what speaks for it, or empty where nothing does.

    Raises
    ------
    InputError
        If the text gives its sizes both in mm and in inches.
    """
    named = {number.unit for number in parts.size_numbers if number.unit} | set(parts.units)
    if len(named) > 1:
        raise InputError(
            "callout", text, "must give the size and its limits in one unit, not in mm and inches"
        )
    if named:
        return dict.fromkeys(named, "")
    evidence: dict[Unit, str] = {}
    for unit, why in _evidence(parts):
        evidence.setdefault(unit, why)
    if given is not None:
        against = [f", although {why}" for unit, why in evidence.items() if unit is not given]
        return {given: f"{_NAMES[given]}, as said for this print{''.join(against)}"}
    if len(evidence) == 1:
        ((unit, why),) = evidence.items()
        return {unit: f"{_NAMES[unit]}, because {why}"}
    return {unit: evidence.get(unit, "") for unit in Unit}


def _evidence(parts: Parts) -> Iterator[tuple[Unit, str]]:
    """Give the evidence, strongest first."""
    if parts.tolerance.hole_class:
        yield Unit.MM, f"{parts.tolerance.hole_class} is a class of ISO 286"
    along = [number for number in (parts.depth, parts.floor) if number is not None]
    numbers = [number for number in (*parts.size_numbers, *along) if number.unit is None]
    for number in numbers:
        if number.text.startswith("."):
            yield Unit.INCH, f"{number.text} begins with its decimal point"
        elif is_fraction(number):
            yield Unit.INCH, f"{number.text} is a fraction"
        elif "," in number.text:
            yield Unit.MM, f"{number.text} has a decimal comma"
    for number in numbers:
        if "." in number.text and number.places >= 4:
            yield Unit.INCH, f"{number.text} has four decimals"
    nominal = parts.nominal
    if nominal.value >= 3 and not is_fraction(nominal) and nominal.places <= 3:
        yield Unit.MM, f"{nominal.text} is 3 or more and has at most three decimals"
    for number in along:
        if number.unit is not None and not parts.tolerance.hole_class:
            yield number.unit, f"the depth is in {_NAMES[number.unit]}"


def is_fraction(number: Number) -> bool:
    """Whether a number was written as a fraction."""
    return "/" in number.text
