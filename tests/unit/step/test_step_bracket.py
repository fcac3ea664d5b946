"""A model that others made: a motor bracket, out of the source package of build123d.

The file `nema-17-bracket.step` stands unchanged in tests/data, beside its licence. NEMA ICS 16
gives the face of a size 17 motor: four screws on a square of 31.0 mm (1.220 in, from memory).
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

pytest.importorskip(
    "OCP", reason="the extra that reads STEP is not installed", exc_type=ImportError
)

from holewright.callout.callout import HoleKind
from holewright.callout.found_hole import group_holes
from holewright.jobs.step_file import read_step

BRACKET = Path(__file__).parents[2] / "data" / "nema-17-bracket.step"


def test_the_screws_of_a_size_17_motor_lie_on_their_square():
    screws, middle = group_holes(read_step(BRACKET))
    xs, ys = ({round(place[i], 6) for place in screws.places} for i in (0, 1))
    assert len(screws.holes) == 4
    assert max(xs) - min(xs) == pytest.approx(31.0)
    assert max(ys) - min(ys) == pytest.approx(31.0)
    assert len(middle.holes) == 1
    centre = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)
    assert middle.places[0] == pytest.approx(centre)
    assert {hole.kind for group in (screws, middle) for hole in group.holes} == {HoleKind.THROUGH}
    # From a screw to the middle bore: half the diagonal of the square, less both radii.
    left = 31 / math.sqrt(2) - screws.diameter / 2 - middle.diameter / 2
    assert middle.holes[0].wall == pytest.approx(left, abs=1e-3)


def test_every_bore_that_the_file_spells_out_is_found_and_no_fillet():
    # Read without the geometry library: CYLINDRICAL_SURFACE -> AXIS2_PLACEMENT_3D -> point.
    text = BRACKET.read_text().replace("\n", "")
    entities = dict(re.findall(r"(#\d+) = ([A-Z_0-9]+\([^;]*\));", text))

    def numbers(entity: str) -> tuple[float, ...]:
        return tuple(
            float(n) for n in re.search(r"\(([-\d.,E]+)\)\)$", entities[entity])[1].split(",")
        )

    spelt = set()
    for entity in entities.values():
        match = re.fullmatch(r"CYLINDRICAL_SURFACE\('',(#\d+),([\d.]+)\)", entity)
        if match is None:
            continue
        point, axis = re.findall(r"#\d+", entities[match[1]])[:2]
        (_, y, z), way = numbers(point), numbers(axis)
        # Along X run the screws and the middle; slots and fillets run elsewhere.
        if abs(way[0]) == 1:
            spelt.add((round(y, 6), round(z, 6), float(match[2])))
    found = {(*map(lambda v: round(v, 6), h.entry[1:]), h.diameter / 2) for h in read_step(BRACKET)}
    assert found <= spelt
    assert {hole for hole in spelt if hole[2] in (1.65, 16.0)} == found
