"""Simulates the test plate of job A of Brakelund Works from a stated truth.

    python examples/brakelund/make_plate.py

Everything here is invented: the shop, its parts and every reading. The truth and the seed are
kept in the head of the file, so that what the plate shows can be held against it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from pathlib import Path

from make_readings import GAUGE_ALPHA, TRUTHS, Shelf, normal

from holewright.jobs.cut_plate import cut_plate
from holewright.jobs.jobfile import read_job
from holewright.jobs.plate_request import PlateRequest
from holewright.plate.chip_form import ChipForm

HERE = Path(__file__).parent
A_ROW = 12
SEED = 1060

TRUTH = {
    "mean_at_100_mm": 8.0078,
    "feed_mm_per_10_percent": 0.0006,
    "drift_mm_per_hole": -3.0e-6,
    "scatter_mm": 0.0013,
    "chips_log_odds_per_10_percent": -0.55,
    "chips_cut_tight": 0.4,
    "chips_cut_loose": 1.9,
    "chips_cut_long": 3.3,
    "ra_at_100_um": 0.60,
    "ra_log_per_10_percent": 0.07,
    "ra_log_scatter": 0.09,
}
"""Chips: odds of a word and all before it, e.g. ln odds of tight curl at 100 % feed is 0.4."""
RA_EVERY = 5
PART_C, GAUGE_C = 21.0, 20.5


def rows() -> Iterator[str]:
    """Yield the rows of the file: each pin that was tried."""
    job = read_job(HERE / "job_a.toml")
    plate = cut_plate(job, PlateRequest(a_row=A_ROW)).plate
    # The pins are those of the readings of job A: the same drawer, the same truth.
    shelf = Shelf(job, TRUTHS["a"], random.Random(TRUTHS["a"].seed))
    draw = random.Random(SEED)
    grown = 1 + job.material.alpha.value * (PART_C - 20)
    gauge_grown = 1 + GAUGE_ALPHA * (GAUGE_C - 20)
    for hole in plate.holes:
        (feed,) = plate.setting_of(hole)
        assert isinstance(feed, float)
        steps = (feed - 1) * 10
        size = (
            TRUTH["mean_at_100_mm"]
            + TRUTH["feed_mm_per_10_percent"] * steps
            + TRUTH["drift_mm_per_hole"] * (hole.cut - 1)
            + TRUTH["scatter_mm"] * normal(draw)
        )
        chips, ra = _chips(steps, draw), ""
        rough = TRUTH["ra_at_100_um"] * math.exp(
            TRUTH["ra_log_per_10_percent"] * steps + TRUTH["ra_log_scatter"] * normal(draw)
        )
        if hole.cut % RA_EVERY == 0:
            ra = f"{rough:.2f}"
        first = [hole.name, str(hole.cut), f"{100 * feed:.0f} %"]
        tail = [chips, ra, f"{PART_C:g} C", f"{GAUGE_C:g} C"]
        for pin, true in shelf.pins.items():
            goes = size * grown >= true * gauge_grown
            said = "goes" if goes else "does not go"
            yield ",".join([*first, pin, said, "", "", *tail])
            first, tail = [hole.name, "", ""], ["", "", *tail[2:]]
            if not goes:
                break


def _chips(steps: float, draw: random.Random) -> str:
    """Return the form of the chips: the slower the feed, the longer."""
    u = draw.random() or 0.5
    place = math.log(u / (1 - u)) + TRUTH["chips_log_odds_per_10_percent"] * steps
    cuts = [TRUTH[f"chips_cut_{word}"] for word in ("tight", "loose", "long")]
    return list(ChipForm)[sum(place > cut for cut in cuts)]


def plate_text() -> str:
    """Return the file."""
    body = list(rows())
    head = [
        "# Test plate of job A of Brakelund Works. Invented and simulated: there is no such shop",
        "# and no such part, and nobody cut or gauged anything. Made by make_plate.py.",
        "# 60 holes, five rows of 12, feed 70 to 130 % of the plan, cut in blocks. What was true:",
        *(f"# truth: {name} = {value}" for name, value in TRUTH.items()),
        f"# seed: {SEED}",
        "# The pins are those of readings_a.csv, with the true sizes that stand there.",
    ]
    columns = "hole,cut,feed,gauge,result,size,unit,chips,ra,part_temp,gauge_temp"
    return "\n".join([*head, columns, *body]) + "\n"


def main() -> None:
    """Write the file."""
    path = HERE / "plate_a.csv"
    path.write_text(plate_text(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
