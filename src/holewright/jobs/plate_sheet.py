"""Print the check sheet of a test plate."""

from __future__ import annotations

from holewright.gauging.pin_size import pin_size
from holewright.jobs.bench import Bench
from holewright.jobs.make_sheets import sheet_header
from holewright.jobs.plate_steps import CutPlate
from holewright.sheets.plate_sheet import plate_sheet

_COLUMNS = 5
"""Pins that find a column on the sheet; others are written in by hand."""


def plate_check_sheet(cut: CutPlate, bench: Bench) -> str:
    """Return the check sheet of a plate as one HTML file.

    Parameters
    ----------
    cut : CutPlate
        The plate.
    bench : Bench
        Clock and versions.
    """
    job, ream = cut.job, cut.ream
    middle = cut.forecast.mean
    sized = sorted((abs(pin_size(pin).best - middle), pin.id, pin) for pin in job.shop.pins)
    near = sorted((pin for _, _, pin in sized[:_COLUMNS]), key=lambda pin: pin_size(pin).best)
    return plate_sheet(
        sheet_header(job, bench),
        cut.plate,
        callout=job.callout,
        material=job.material,
        v_c=ream.v_c,
        f=ream.f,
        gauges=tuple(pin.id for pin in near),
    )
