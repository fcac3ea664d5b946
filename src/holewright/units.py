"""Reads and writes lengths and the few other units of the shop. The only converter.

Inside holewright everything is mm, N, N·mm, s, °C, W, MPa, and m/min, mm/rev and mm/tooth
where the trade writes them so. Here, and only here, other units come in and go out.
Lengths are converted in exact decimal arithmetic, so that .3125 in is 7.9375 mm and no
limit moves by a rounding.
"""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from fractions import Fraction

from holewright.errors import AmbiguousError, InputError


class Unit(StrEnum):
    """The two unit systems of a drawing."""

    MM = "mm"
    INCH = "in"


MM_PER_INCH = Decimal("25.4")
"""Exact by definition: ISO 80000-3, international inch."""

_LENGTH_UNITS: dict[str, Decimal] = {
    "mm": Decimal(1),
    "millimetre": Decimal(1),
    "µm": Decimal("0.001"),
    "μm": Decimal("0.001"),
    "um": Decimal("0.001"),
    "micron": Decimal("0.001"),
    "microns": Decimal("0.001"),
    "cm": Decimal(10),
    "m": Decimal(1000),
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "″": MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
    "tenth": MM_PER_INCH / 10000,
    "tenths": MM_PER_INCH / 10000,
    "µin": MM_PER_INCH / 1000000,
    "μin": MM_PER_INCH / 1000000,
    "uin": MM_PER_INCH / 1000000,
}

_WORD_NUMBERS = {
    word: Decimal(i)
    for i, word in enumerate(
        ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
    )
} | {"nothing": Decimal(0), "half": Decimal("0.5")}

_NUMBER = r"[+-]?(?:\d+\s+\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+[.,]?)"
# No exponent of three digits, no number of fifty: nobody's hole has one.
_PLAIN = re.compile(
    r"[+-]?(?:(?:\d{1,9}\s+)?\d{1,9}/\d{1,9}|(?:\d{1,30}[.,]?\d{0,30}|[.,]\d{1,30})(?:e[+-]?\d{1,2})?)",
    re.IGNORECASE,
)
_QUANTITY = re.compile(rf"\s*(?P<number>{_NUMBER}|[a-z]+)\s*(?P<unit>\D*)\s*", re.IGNORECASE)


def read_number(text: str, field: str = "number") -> Decimal:
    """Return the exact value of a number as people write it.

    Parameters
    ----------
    text : str
        ``.2500``, ``0,25``, ``1/4``, ``1 1/4``, ``-3``, ``two``. A comma is a decimal comma.
    field : str
        Name to use in an error.

    Returns
    -------
    Decimal
        Exact for decimals and for fractions whose denominator is a power of 2 (to 28 digits
        for others). [-]

    Raises
    ------
    InputError
        If the text is not such a number.

    Examples
    --------
    >>> read_number("1 1/4"), read_number("0,25"), read_number("two")
    (Decimal('1.25'), Decimal('0.25'), Decimal('2'))
    """
    stripped = text.strip()
    if stripped.lower() in _WORD_NUMBERS:
        return _WORD_NUMBERS[stripped.lower()]
    if len(stripped) > 40 or not _PLAIN.fullmatch(stripped):
        raise InputError(field, text, "must be a number such as 0.25, .2500, 0,25 or 1/4")
    try:
        if "/" in stripped:
            fraction = sum((Fraction(part) for part in stripped.split()), start=Fraction(0))
            return Decimal(fraction.numerator) / Decimal(fraction.denominator)
        number = Decimal(stripped.replace(",", "."))
    except (InvalidOperation, ValueError, ZeroDivisionError):
        number = Decimal("NaN")
    if not number.is_finite():
        raise InputError(field, text, "must be a number such as 0.25, .2500, 0,25 or 1/4")
    return number


def mm_from(number: Decimal | float | int, unit: Unit) -> float:
    """Return a length in mm. [mm]

    Parameters
    ----------
    number : Decimal or float
        Length in `unit`.
    unit : Unit
        Its unit.

    Examples
    --------
    >>> mm_from(Decimal(".3125"), Unit.INCH)
    7.9375
    """
    exact = number if isinstance(number, Decimal) else Decimal(repr(float(number)))
    return float(exact * MM_PER_INCH) if unit is Unit.INCH else float(exact)


def read_length(text: str | float | int, unit: Unit | None = None, field: str = "length") -> float:
    """Return a length in mm from text such as ``5 µm``, ``.25 in``, ``2 tenths``, ``1/4"``.

    Parameters
    ----------
    text : str or float
        The length as it was written. A unit in the text wins.
    unit : Unit, optional
        What a bare number is in. Without it a bare number is refused, since millimetres and
        inches are never guessed.
    field : str
        Name to use in an error.

    Returns
    -------
    float
        The length. [mm]

    Raises
    ------
    AmbiguousError
        If the text has no unit and none was given.
    InputError
        If it is not a number, or the unit isn't known.

    Examples
    --------
    >>> read_length("2 tenths"), read_length("5 µm"), read_length('1/4"')
    (0.00508, 0.005, 6.35)
    """
    if isinstance(text, bool):
        raise InputError(field, text, 'must be a length such as "8 mm" or ".315 in"')
    if isinstance(text, (int, float)):
        text = repr(text)
    match = _QUANTITY.fullmatch(text)
    if match is None:
        raise InputError(field, text, 'must be a length such as "8 mm", ".315 in" or "5 µm"')
    number = read_number(match["number"], field)
    word = match["unit"].strip().lower().rstrip(".")
    if not word:
        if unit is None:
            raise AmbiguousError(
                field,
                text,
                "has no unit; write mm or in behind it",
                readings=(f"{text.strip()} mm", f"{text.strip()} in"),
            )
        return mm_from(number, unit)
    if word not in _LENGTH_UNITS:
        raise InputError(field, text, "has an unknown unit; use mm, µm, in, thou or tenths")
    return float(number * _LENGTH_UNITS[word])


_SPEEDS = {"m/min": 1.0, "sfm": 0.3048, "ft/min": 0.3048, "fpm": 0.3048}
_PRESSURES = {"bar": 1.0, "mpa": 10.0, "psi": 0.0689475729}
_POWERS = {"w": 1.0, "kw": 1000.0, "hp": 745.699872, "ps": 735.49875}
_FORCES = {"n": 1.0, "kn": 1000.0, "lbf": 4.4482216152605}
_FLOWS = {"l/min": 1.0, "gpm": 3.785411784}
_TORQUES = {
    "n·m": 1000.0,
    "nm": 1000.0,
    "n*m": 1000.0,
    "lbf·ft": 1355.817948,
    "lbf·in": 112.9848290,
}
_FEED_SPEEDS = {"mm/min": 1.0, "m/min": 1000.0, "in/min": 25.4, "ipm": 25.4}
_TIMES = {"s": 1.0, "min": 60.0, "h": 3600.0}
_KINDS = {
    "speed": (_SPEEDS, "m/min or sfm"),
    "pressure": (_PRESSURES, "bar, MPa or psi"),
    "power": (_POWERS, "kW, W or hp"),
    "force": (_FORCES, "N, kN or lbf"),
    "flow": (_FLOWS, "L/min or gpm"),
    "torque": (_TORQUES, "N·m or lbf·ft"),
    "feed speed": (_FEED_SPEEDS, "mm/min, m/min or in/min"),
    "time": (_TIMES, "s, min or h"),
}


def read_quantity(text: str, kind: str, field: str) -> float:
    """Return a speed, pressure, power, force, flow or time in holewright's own unit.

    Parameters
    ----------
    text : str
        Number and unit, e.g. ``500 sfm``, ``40 bar``, ``1/2 hp``.
    kind : str
        ``speed`` [m/min], ``pressure`` [bar], ``power`` [W], ``force`` [N], ``flow`` [L/min],
        ``torque`` [N·mm], ``feed speed`` [mm/min] or ``time`` [s].
    field : str
        Name to use in an error.

    Returns
    -------
    float
        The value in the unit named under `kind`.

    Raises
    ------
    InputError
        If it is not a number with a unit of that kind.

    Examples
    --------
    >>> round(read_quantity("500 sfm", "speed", "v_c"), 1)
    152.4
    """
    table, accepted = _KINDS[kind]
    match = _QUANTITY.fullmatch(str(text))
    word = match["unit"].strip().lower() if match else ""
    if match is None or word not in table:
        raise InputError(field, text, f"must be a number with a unit: {accepted}")
    return float(read_number(match["number"], field)) * table[word]


def read_temperature(text: str | float | int, field: str = "temperature") -> float:
    """Return a temperature in °C from ``22 C``, ``95 F`` or a bare number, taken as °C. [°C]

    Raises
    ------
    InputError
        If it is not a temperature.
    """
    match = re.fullmatch(rf"\s*({_NUMBER})\s*°?\s*([CF]?)\s*", str(text), re.IGNORECASE)
    if match is None:
        raise InputError(field, text, "must be a temperature such as 22 C or 95 F")
    number = float(read_number(match[1], field))
    return (number - 32) / 1.8 if match[2].upper() == "F" else number


def read_roughness(text: str, field: str = "finish") -> float:
    """Return Ra in µm from ``Ra 0.8``, ``0.8 µm`` or ``32 Ra µin``. [µm]

    A number without unit is taken as µm up to 6.3 and refused above it, since 16, 32 and 63
    are as usual in µin as 0.4, 0.8 and 1.6 are in µm.

    Raises
    ------
    AmbiguousError
        If the number is above 6.3 without a unit.
    InputError
        If it is not a roughness.
    """
    bare = re.sub(r"\bra\b", " ", text, flags=re.IGNORECASE)
    match = re.fullmatch(rf"\s*({_NUMBER})\s*(\D*?)\s*", bare)
    if match is None or match[2].lower() not in {"", *_LENGTH_UNITS}:
        raise InputError(field, text, 'must be a roughness such as "Ra 0.8" or "32 Ra µin"')
    number = read_number(match[1], field)
    if match[2]:
        return float(number * _LENGTH_UNITS[match[2].lower()] * 1000)
    if number > Decimal("6.3"):
        raise AmbiguousError(
            field,
            text,
            "has no unit; write µm or µin behind it",
            readings=(f"Ra {number} µm", f"Ra {number} µin"),
        )
    return float(number)


def inches(mm: float) -> float:
    """Return a length in inches. [in]"""
    return mm / 25.4


def format_size(mm: float, unit: Unit, places: int | None = None) -> str:
    """Return a size as a drawing writes it: ``8.015 mm`` or ``.3130 in``.

    Parameters
    ----------
    mm : float
        Size. [mm]
    unit : Unit
        Unit to write.
    places : int, optional
        Decimal places; by default 3 in mm and 4 in inches, and one more where the value
        would otherwise be rounded by over a tenth of the last place.
    """
    value = mm if unit is Unit.MM else inches(mm)
    if places is None:
        places = 3 if unit is Unit.MM else 4
        if abs(round(value, places) - value) > 0.1 * 10**-places:
            places += 1
    text = f"{value:.{places}f}"
    if unit is Unit.INCH:
        text = re.sub(r"^(-?)0\.", r"\1.", text)
    return f"{text} {unit}"


def write_exact(mm: float, unit: Unit, places: int) -> str:
    """Return a length without its unit, in the fewest decimals that read back to the same float.

    Parameters
    ----------
    mm : float
        Length. [mm]
    unit : Unit
        Unit to write.
    places : int
        Least number of decimals.

    Examples
    --------
    >>> write_exact(7.9375, Unit.INCH, 3), write_exact(8.0, Unit.MM, 0)
    ('.3125', '8')
    """
    exact = Decimal(repr(float(mm))) / (MM_PER_INCH if unit is Unit.INCH else 1)
    # Sizes from prints need few; 24 tell any two floats apart, of any size that is made.
    for decimals in range(places, 25):
        text = f"{exact:.{decimals}f}"
        if mm_from(Decimal(text), unit) == mm:
            break
    return text.removeprefix("0") if unit is Unit.INCH and exact < 1 else text


def format_both(mm: float, first: Unit) -> str:
    """Return a size in both units, that of the print first: ``8.015 mm (.31555 in)``."""
    second = Unit.INCH if first is Unit.MM else Unit.MM
    return f"{format_size(mm, first)} ({format_size(mm, second)})"


def format_small(mm: float, unit: Unit, signed: bool = False) -> str:
    """Return a small length as the shop says it: ``15 µm`` or ``5.9 tenths (.00059 in)``."""
    sign = "+" if signed else ""
    if unit is Unit.MM:
        return f"{_digits(mm * 1000, 3, sign)} µm"
    tenths = inches(mm) * 10000
    exact = re.sub(r"^([+-]?)0\.", r"\1.", f"{inches(mm):{sign}.5f}")
    said = _digits(tenths, 2, sign)
    return f"{said} {'tenth' if said.lstrip('+-') == '1' else 'tenths'} ({exact} in)"


def _digits(value: float, digits: int, sign: str = "") -> str:
    """Return a number to so many digits, but never as a power of ten."""
    return f"{value:{sign}.0f}" if abs(value) >= 10**digits - 0.5 else f"{value:{sign}.{digits}g}"


def format_speed(v_c: float, unit: Unit) -> str:
    """Return a cutting speed [m/min] as the shop says it: ``150 m/min`` or ``492 sfm``."""
    return f"{_digits(v_c, 3)} m/min" if unit is Unit.MM else f"{_digits(v_c / 0.3048, 3)} sfm"


def format_feed(f: float, unit: Unit) -> str:
    """Return a feed [mm/rev] as the shop says it: ``0.6 mm/rev`` or ``.0236 in/rev``."""
    if unit is Unit.MM:
        return f"{f:.3g} mm/rev"
    return re.sub(r"^0\.", ".", f"{inches(f):.4f}") + " in/rev"


def format_feed_speed(v_f: float, unit: Unit) -> str:
    """Return a feed speed [mm/min] as the shop says it: ``955 mm/min`` or ``37.6 in/min``."""
    return f"{v_f:.0f} mm/min" if unit is Unit.MM else f"{inches(v_f):.1f} in/min"
