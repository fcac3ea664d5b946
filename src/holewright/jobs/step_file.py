"""Reads the holes of a part out of a STEP file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from holewright.callout.found_hole import FoundHole
from holewright.errors import InputError


def read_step(path: str | Path) -> tuple[FoundHole, ...]:
    """Return the cylindrical holes of a model, in mm whatever its unit.

    Parameters
    ----------
    path : str or Path
        A STEP file: AP203, AP214 or AP242.

    Returns
    -------
    tuple of FoundHole
        Numbered from above, row by row; in a model of several solids with the solid's
        number before it. [mm]

    Raises
    ------
    InputError
        If the file isn't there or can't be read, has no solid, or the extra that reads STEP
        isn't installed.
    """
    path = Path(path)
    if not path.is_file():
        raise InputError("STEP file", path, "is not there, or is no file")
    # Imported here: the geometry library takes half a second and 400 MB.
    from holewright.jobs import step_shapes
    from holewright.jobs.step_holes import holes_of

    if step_shapes.MISSING is not None:
        raise InputError(
            "STEP file",
            path,
            "needs the extra that reads STEP: pip install 'holewright[step]'; on Linux also "
            f"the libraries libgl1 and libx11-6 ({step_shapes.MISSING})",
        )
    solids = step_shapes.read_solids(path)
    named = []
    for number, solid in enumerate(solids, start=1):
        before = f"{number}." if len(solids) > 1 else ""
        holes = sorted(holes_of(solid), key=_place)
        named += [replace(hole, name=f"{before}{i}") for i, hole in enumerate(holes, start=1)]
    return tuple(named)


def _place(hole: FoundHole) -> tuple[float, ...]:
    x, y, z = hole.entry
    return (*(round(part, 3) for part in hole.direction[::-1]), -z, y, x)
