"""Reads and writes callouts as they stand on prints: ``10 H7``, ``.2500 +.0005/-.0000``."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from holewright.callout.callout import Callout, DrawingStandard, HoleKind, Limits
from holewright.callout.grammar import read_parts
from holewright.callout.limits import hole_deviations, hole_limits
from holewright.callout.parts import Number, Parts, Tolerance
from holewright.callout.print_unit import print_units
from holewright.errors import AmbiguousError, InputError, OutOfRangeError
from holewright.units import Unit, format_size, mm_from, write_exact

SMALLEST_NOMINAL, LARGEST_NOMINAL = 0.01, 500.0
"""Nominal sizes that are read; ISO 286-1 has its finer steps up to 500 mm. [mm]"""

NARROWEST_WIDTH = 0.0001
"""Narrowest tolerance that is read; IT01 starts at 0.3 µm. [mm]"""

LARGEST_DEPTH = 10_000.0
"""Deepest depth that is read. [mm]"""

_ZERO = Decimal(0)
_DEPTH_PLACES = {Unit.MM: 0, Unit.INCH: 3}
_LEAST_PLACES = {Unit.MM: 3, Unit.INCH: 4}
_FOUR_DECIMALS = re.compile(r"\.[0-9]{4}")
_WHOLE_STEPS = {
    Unit.MM: (Decimal("0.001"), Decimal("0.01"), Decimal(1)),
    Unit.INCH: (Decimal("0.0001"), Decimal("0.001")),
}
"""What a whole number as tolerance may count: µm, hundredths, mm; tenths, thou."""


def read_callout(
    text: str,
    *,
    unit: Unit | None = None,
    standard: DrawingStandard = DrawingStandard.NOT_STATED,
) -> Callout:
    """Return what a callout asks, from text as people type it.

    Parameters
    ----------
    text : str
        Size and limits as a class (``Ø10H7``), deviations (``.2500 +.0005/-.0000``,
        ``12 ±0.01``, ``1/4 plus five tenths minus nothing``) or two limits
        (``6.00-6.012``); behind them, in any order, a depth (``x 22``, ``x .75 deep``),
        ``through`` or ``blind``, ``floor .94``, a unit, and ``(E)`` for the envelope.
    unit : Unit, optional
        What the print is in. A unit in the text wins; without either, the unit is taken
        from how the numbers are written, or asked for. [-]
    standard : DrawingStandard
        What the title block names. Under ASME Y14.5 a size includes the envelope.

    Returns
    -------
    Callout
        With ``unit_reason`` wherever the text doesn't name its unit, and a note for
        everything else that was understood beyond the text.

    Raises
    ------
    AmbiguousError
        If the text can be read in more ways than one: mm or inches, a lower-case class, a
        whole number as tolerance, one deviation only. Its readings can be typed instead.
    InputError
        If it can't be read, contradicts itself, or asks for something absurd.

    Notes
    -----
    Taken as evidence of inches: a number that begins with its decimal point, a fraction, four
    decimals. Of mm: a class of ISO 286, a decimal comma, a nominal of 3 or more with at most
    three decimals. Evidence for both is asked about, never weighed. A depth that is called so
    (``deep``, ``DP``) without ``through`` makes a blind hole; otherwise a hole that isn't
    called blind is taken as through. Both are noted.

    Examples
    --------
    >>> read_callout("8 H7 x 22 through").limits
    Limits(lower=8.0, upper=8.015)
    >>> callout = read_callout(".3125 +.0005/-0 x .70 blind")
    >>> callout.limits, callout.unit_reason
    (Limits(lower=7.9375, upper=7.9502), 'inches, because .3125 begins with its decimal point')
    """
    parts = read_parts(text)
    units = print_units(parts, text, unit)
    if len(units) > 1 or _is_whole(parts.tolerance) or len(parts.tolerance.deviations) == 1:
        raise _question(parts, text, units)
    ((known, reason),) = units.items()
    envelope = parts.envelope or standard is DrawingStandard.ASME
    callout = _callout(parts, text, known)
    return replace(callout, unit_reason=reason, standard=standard, envelope=envelope)


def _callout(parts: Parts, text: str, unit: Unit) -> Callout:
    nominal, limits = _limits(parts, text, unit)
    _compare(parts, text, unit, limits)
    depth = _along(parts.depth, "depth", text, unit)
    floor = _along(parts.floor, "floor", text, unit)
    return Callout(
        text=text,
        nominal=nominal,
        limits=limits,
        unit=unit,
        fit=parts.tolerance.hole_class.upper(),
        kind=_kind(parts, text, depth, floor),
        depth=depth,
        floor=floor,
        notes=tuple(_notes(parts, unit, nominal)),
    )


def _limits(parts: Parts, text: str, unit: Unit) -> tuple[float, Limits]:
    """Return the nominal and the limits, once they are found to make sense. [mm]"""
    nominal, tolerance = parts.nominal, parts.tolerance
    size = mm_from(nominal.value, unit)
    if not SMALLEST_NOMINAL <= size <= LARGEST_NOMINAL:
        raise OutOfRangeError(
            "nominal size", f"{nominal.text} {unit}", f"0.01 mm to 500 mm, in {text!r}"
        )
    if tolerance.hole_class:
        return size, hole_limits(size, tolerance.hole_class.upper())
    lower, upper = _written_limits(nominal, tolerance, text)
    width, half = upper - lower, nominal.value / 2
    if mm_from(width, unit) < NARROWEST_WIDTH or width > half:
        raise InputError(
            "callout",
            text,
            f"has a tolerance of {width.normalize():f} {unit} on a size of {nominal.text} {unit}; "
            "it must be at least 0.1 µm and at most half the size: check the decimal point, "
            "the signs and the unit",
        )
    if lower < half or upper > nominal.value + half:
        raise InputError(
            "callout",
            text,
            f"has limits of {lower.normalize():f} and {upper.normalize():f} {unit} on a size of "
            f"{nominal.text} {unit}; they must lie within half the size of it",
        )
    return size, Limits(mm_from(lower, unit), mm_from(upper, unit))


def _written_limits(first: Number, tolerance: Tolerance, text: str) -> tuple[Decimal, Decimal]:
    """Return the limits that two numbers, or a number and its deviations, make."""
    second = tolerance.other_limit
    if second is None:
        sizes = [first.value + sign * number.value for sign, number in tolerance.deviations]
        return min(sizes), max(sizes)
    if 0 < second.value < first.value:
        raise InputError(
            "callout",
            text,
            f"has its lower limit {first.text} above its upper limit {second.text}; "
            f"write {second.text}-{first.text} if that is meant",
        )
    return first.value, second.value


def _compare(parts: Parts, text: str, unit: Unit, limits: Limits) -> None:
    """Refuse limits behind a class that aren't those of the class."""
    if parts.check is None:
        return
    lower, upper = _written_limits(parts.check_from or parts.nominal, parts.check, text)
    if Limits(mm_from(lower, unit), mm_from(upper, unit)) != limits:
        fit = parts.tolerance.hole_class.upper()
        ei, es = hole_deviations(mm_from(parts.nominal.value, unit), fit)
        raise InputError(
            "callout",
            text,
            f"says {fit} and other limits behind it; the class asks "
            f"{es / 1000:+f}/{ei / 1000:+f} mm: write one of the two",
        )


def _along(number: Number | None, what: str, text: str, unit: Unit) -> float | None:
    if number is None:
        return None
    own_unit = number.unit or unit
    length = mm_from(number.value, own_unit)
    if not SMALLEST_NOMINAL <= length <= LARGEST_DEPTH:
        raise OutOfRangeError(what, f"{number.text} {own_unit}", f"0.01 mm to 10 m, in {text!r}")
    return length


def _kind(parts: Parts, text: str, depth: float | None, floor: float | None) -> HoleKind:
    if floor is not None and parts.kind is HoleKind.THROUGH:
        raise InputError("callout", text, "has a floor, so it must not be through")
    if floor is not None and depth is not None and floor < depth:
        raise InputError("callout", text, "must have its floor at or below the depth")
    if parts.kind is not None:
        return parts.kind
    return HoleKind.BLIND if floor is not None or parts.says_deep else HoleKind.THROUGH


def _notes(parts: Parts, unit: Unit, nominal: float) -> Iterator[str]:
    if parts.tolerance.hole_class and unit is Unit.INCH:
        yield f"{parts.nominal.text} in is {format_size(nominal, Unit.MM)}"
    if parts.count is not None:
        yield f"{parts.count} holes"
    if parts.tolerance.shaft_class:
        yield f"the shaft's {parts.tolerance.shaft_class} is not used"
    if parts.tolerance.other_limit is not None:
        yield "the lower limit is taken as the nominal size"
    if parts.tolerance.hole_class.startswith("X"):
        yield f"{parts.tolerance.hole_class} is taken as a tolerance class, not as a depth"
    if parts.depth is None:
        yield "no depth given"
    if parts.kind is None:
        if parts.floor is not None:
            yield "blind, since a floor is given"
        elif parts.says_deep:
            yield 'blind, since a depth is given without "through"'
        else:
            yield "through assumed; write blind if it is not"


def _is_whole(tolerance: Tolerance) -> bool:
    return any(number.is_bare_whole for _, number in tolerance.deviations)


def _question(parts: Parts, text: str, units: dict[Unit, str]) -> InputError:
    """Return the question to ask, with every answer that makes sense ready to be typed."""
    readings: list[str] = []
    refused: InputError | None = None
    one_sided = len(parts.tolerance.deviations) == 1
    only_unit = not one_sided and not _is_whole(parts.tolerance)
    for unit in units:
        for tolerance in _meanings(parts.tolerance, unit):
            try:
                callout = _callout(replace(parts, tolerance=tolerance), text, unit)
            except InputError as error:
                refused = refused or error
                continue
            size, rest = text[: parts.size_end].strip(), text[parts.size_end :].strip()
            with_unit = f"{size} {unit} {rest}".strip()
            readings.append(with_unit if only_unit else write_callout(callout))
    if refused is not None and not readings:
        return refused
    if only_unit:
        for_each = [f"{unit}, since {why}" for unit, why in units.items() if why]
        asked = f"can be {', or '.join(for_each)}" if for_each else "does not say mm or inches"
        asked += "; write mm or in behind the size"
    elif one_sided:
        asked = "has one deviation only; write the other one too, even if it is 0"
    else:
        asked = "has a whole number as tolerance; write its decimals, or µm, thou or tenths"
    return AmbiguousError("callout", text, asked, readings=tuple(dict.fromkeys(readings)))


def _meanings(tolerance: Tolerance, unit: Unit) -> Iterator[Tolerance]:
    """Give what a tolerance can mean in a unit: each step of whole numbers, each other side."""
    steps = _WHOLE_STEPS[unit] if _is_whole(tolerance) else (Decimal(1),)
    for step in steps:
        deviations = tuple(
            (sign, replace(number, value=number.value * step) if number.is_bare_whole else number)
            for sign, number in tolerance.deviations
        )
        if len(deviations) == 1:
            ((sign, number),) = deviations
            yield replace(tolerance, deviations=(*deviations, (1, replace(number, value=_ZERO))))
            yield replace(tolerance, deviations=(*deviations, (-sign, number)))
        else:
            yield replace(tolerance, deviations=deviations)


def write_callout(callout: Callout) -> str:
    """Return a callout in one canonical notation, which reads back to the same callout.

    Parameters
    ----------
    callout : Callout
        Any callout that :func:`read_callout` could have returned.

    Returns
    -------
    str
        ``Ø8 H7 x 22 through`` or ``Ø.2500 +.0005/-.0000 in x .700 blind floor .940``: at
        least four decimals in inches and three in mm, and as many more as the limits need.

    Notes
    -----
    Reads back to the same nominal, limits, class, unit, kind, depth, floor and envelope.
    Finish, position and whatever else a callout carries are not in the text.

    Examples
    --------
    >>> write_callout(read_callout("1/4 +.0005 -0 x .7 blind"))
    'Ø.2500 +.0005/-.0000 in x .700 blind'
    >>> write_callout(read_callout("8H7x22 thru"))
    'Ø8 H7 x 22 through'
    """
    unit = callout.unit
    by_class = bool(callout.fit) and hole_limits(callout.nominal, callout.fit) == callout.limits
    size = _class(callout) if by_class else _deviations(callout)
    words = [callout.kind.value]
    if callout.depth is not None:
        words.insert(0, f"x {_length(callout.depth, unit)}")
    if callout.floor is not None:
        words.append(f"floor {_length(callout.floor, unit)}")
    if callout.envelope and callout.standard is not DrawingStandard.ASME:
        words.append("(E)")
    text = " ".join([size, *words])
    # A class says mm by itself, unless four decimals would speak for inches.
    if by_class and unit is Unit.MM and not _FOUR_DECIMALS.search(text):
        return text
    return " ".join([size, str(unit), *words])


def _class(callout: Callout) -> str:
    places = 0 if callout.unit is Unit.MM else _LEAST_PLACES[callout.unit]
    return f"Ø{write_exact(callout.nominal, callout.unit, places)} {callout.fit}"


def _deviations(callout: Callout) -> str:
    unit = callout.unit
    exact = [
        Decimal(write_exact(size, unit, _LEAST_PLACES[unit]))
        for size in (callout.nominal, callout.limits.upper, callout.limits.lower)
    ]
    places = max(-int(size.as_tuple().exponent) for size in exact)
    nominal, upper, lower = exact
    size = _decimals(nominal, places, unit)
    plus, minus = _decimals(upper - nominal, places, unit), _decimals(lower - nominal, places, unit)
    if upper - nominal == nominal - lower:
        return f"Ø{size} ±{plus}"
    # A zero takes the sign of its place.
    signs = "-" if upper < nominal else "+", "+" if lower > nominal else "-"
    return f"Ø{size} {signs[0]}{plus}/{signs[1]}{minus}"


def _decimals(number: Decimal, places: int, unit: Unit) -> str:
    text = f"{abs(number):.{places}f}"
    return text.removeprefix("0") if unit is Unit.INCH else text


def _length(mm: float, unit: Unit) -> str:
    """Return a depth in the print's unit, or in the other where only that is a round number."""
    other = Unit.INCH if unit is Unit.MM else Unit.MM
    own_text = write_exact(mm, unit, _DEPTH_PLACES[unit])
    other_text = write_exact(mm, other, _DEPTH_PLACES[other])
    return own_text if len(own_text) <= len(other_text) + 4 else f"{other_text} {other}"
