"""What the QIF writer and reader agree on.

QIF is the Quality Information Framework, ISO 23952 and ANSI/DMSC QIF 3.0. A size that was read
off is a measurement of a diameter characteristic. A pin is an attribute characteristic of its
own, so that the interval that pins prove can be read back: what it measures says which pin, how
deep and at which temperatures, and the value is GO or NOGO.
"""

from __future__ import annotations

import re

from holewright.gauging.pin_size import REFERENCE_C
from holewright.gauging.reading import Reading

NAMESPACE = "http://qifstandards.org/xsd/qif3"
VERSION = "3.0.0"
GO, NOGO = "GO", "NOGO"
BETWEEN = " / "
"""Stands between hole and gauge in the name of a characteristic item."""

_QUESTION = re.compile(
    r"does pin (?P<pin>.+?) enter (?:full length|to (?P<depth>[\d.e+-]+) mm)"
    r"(?:; part (?P<part>[\d.e+-]+) °C, gauge (?P<gauge>[\d.e+-]+) °C)?"
)


def question(reading: Reading) -> str:
    """Return what a pin's reading measures, in words.

    Parameters
    ----------
    reading : Reading
        Of a pin.
    """
    depth = "full length" if reading.depth is None else f"to {reading.depth!r} mm"
    warm = reading.part_c != REFERENCE_C or reading.gauge_c != REFERENCE_C
    degrees = f"; part {reading.part_c!r} °C, gauge {reading.gauge_c!r} °C" if warm else ""
    return f"does pin {reading.gauge} enter {depth}{degrees}"


def answered(hole: str, asked: str, goes: bool) -> Reading | None:
    """Return the reading of a pin; None if the question isn't one that we ask.

    Parameters
    ----------
    hole : str
        Name of the hole.
    asked : str
        As :func:`question` words it.
    goes : bool
        Whether the pin went in.
    """
    found = _QUESTION.fullmatch(asked.strip())
    if found is None:
        return None
    try:
        return Reading(
            hole=hole,
            gauge=found["pin"],
            goes=goes,
            depth=float(found["depth"]) if found["depth"] else None,
            part_c=float(found["part"] or REFERENCE_C),
            gauge_c=float(found["gauge"] or REFERENCE_C),
        )
    except ValueError:
        return None
