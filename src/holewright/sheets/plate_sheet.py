"""The check sheet of a test plate: the plate from above, and a line for each hole in its order."""

from __future__ import annotations

from dataclasses import dataclass, replace

from holewright.callout.callout import Callout
from holewright.plate.chip_form import ChipForm
from holewright.plate.factors import setting_words
from holewright.plate.layout import row_name
from holewright.plate.plate import Plate
from holewright.sheets.header import PageKind, SheetHeader
from holewright.sheets.plate_map import plate_map_svg
from holewright.sheets.render import picture, render
from holewright.sheets.sizes import length_pair, limit_pair, small_pair
from holewright.shop.material import Material
from holewright.units import format_feed, format_speed


@dataclass(frozen=True)
class PlateRow:
    """A row of the plate in words.

    Parameters
    ----------
    name : str
        Its letter.
    setting : str
        What it tests.
    values : str
        Speed and feed that follow from it.
    """

    name: str
    setting: str
    values: str


def plate_sheet(
    header: SheetHeader,
    plate: Plate,
    *,
    callout: Callout,
    material: Material,
    v_c: float,
    f: float,
    gauges: tuple[str, ...] = (),
) -> str:
    """Return the check sheet as one HTML file that loads nothing and prints on A4 and Letter.

    Parameters
    ----------
    header : SheetHeader
        What identifies it.
    plate : Plate
        The plate.
    callout : Callout
        What the drawing asks.
    material : Material
        Work material.
    v_c, f : float
        Planned cutting speed [m/min] and feed [mm/rev] of the reamer.
    gauges : tuple of str
        Pins to try, the smallest first, each a column; two blanks where none is named.

    Returns
    -------
    str
        The file.
    """
    unit = header.unit
    rows = [
        PlateRow(
            row_name(i),
            setting_words(plate.factors, setting, unit),
            _values(plate, i, v_c, f, header),
        )
        for i, setting in enumerate(plate.settings)
    ]
    return render(
        "plate_sheet.html",
        replace(header, kind=PageKind.PLATE),
        plate=plate,
        callout=callout,
        material=material,
        limits=(
            limit_pair(callout.limits.lower, unit, lower=True),
            limit_pair(callout.limits.upper, unit, lower=False),
        ),
        tolerance=small_pair(callout.limits.width, unit),
        map=picture(plate_map_svg(plate, unit)),
        rows=rows,
        pitch=length_pair(plate.layout.pitch, unit),
        field=" by ".join(length_pair(side, unit) for side in plate.layout.size),
        gauges=gauges or ("", ""),
        chips=tuple(ChipForm),
        words=[setting_words(plate.factors, plate.setting_of(h), unit) for h in plate.holes],
        need=_need(plate, header),
    )


def _values(plate: Plate, row: int, v_c: float, f: float, header: SheetHeader) -> str:
    level = dict(zip((str(x.kind) for x in plate.factors), plate.settings[row], strict=True))
    speed, feed = level.get("speed", 1.0), level.get("feed", 1.0)
    assert isinstance(speed, float)
    assert isinstance(feed, float)
    unit = header.unit
    return f"{format_speed(v_c * speed, unit)}, {format_feed(f * feed, unit)}"


def _need(plate: Plate, header: SheetHeader) -> str:
    need = plate.need
    if need is None:
        return ""
    return (
        f"{need.a_row} holes a row show a difference of "
        f"{small_pair(need.difference, header.unit)} between two rows "
        f"{100 * need.power:.0f} % of the time, with these pins."
    )
