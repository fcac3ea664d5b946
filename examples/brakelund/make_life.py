"""Simulates the life of three reamers on job A of Brakelund Works from a stated truth.

    python examples/brakelund/make_life.py

Everything here is invented: the shop, its parts and every reading. The truth and the seed are
kept in the head of the file, so that what is foretold can be held against it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from make_readings import GAUGE_ALPHA, TRUTHS, Shelf, normal

from holewright.jobs.jobfile import read_job

HERE = Path(__file__).parent
SEED = 1080
SCATTER_MM = 0.0013
RUN_IN_MM, RUN_IN_HOLES = 0.0012, 120
"""A fresh reamer cuts so much larger, and has run in after so many holes."""
TOOLS = {
    "R 8-C 1": (8.0086, -3.1e-6, 2000),
    "R 8-C 2": (8.0079, -3.6e-6, 1800),
    "R 8-C 3": (8.0083, -2.8e-6, 900),
}
"""Tool -> size of its first hole once run in [mm], change per hole [mm/hole], holes cut."""
EVERY = 10
PART_C, GAUGE_C = 21.0, 20.5


def rows() -> Iterator[str]:
    """Yield the rows of the file: each pin that was tried in each hole that was gauged."""
    job = read_job(HERE / "job_a.toml")
    shelf = Shelf(job, TRUTHS["a"], random.Random(TRUTHS["a"].seed))
    draw = random.Random(SEED)
    grown = 1 + job.material.alpha.value * (PART_C - 20)
    gauge_grown = 1 + GAUGE_ALPHA * (GAUGE_C - 20)
    made = 0
    for tool, (start, drift, holes) in TOOLS.items():
        for cut in range(1, holes + 1):
            fresh = RUN_IN_MM * max(0.0, 1 - cut / RUN_IN_HOLES)
            size = start + fresh + drift * (cut - 1) + SCATTER_MM * normal(draw)
            made += 1
            if (cut - 1) % EVERY:
                continue
            name = f"{(made - 1) // 4 + 1}-{(made - 1) % 4 + 1}"
            for pin, true in shelf.pins.items():
                goes = size * grown >= true * gauge_grown
                said = "goes" if goes else "does not go"
                yield f"{name},{tool},{cut},{pin},{said},{PART_C:g} C,{GAUGE_C:g} C"
                if not goes:
                    break


def life_text() -> str:
    """Return the file."""
    head = [
        "# Life of three reamers on job A of Brakelund Works. Invented and simulated: there is no",
        "# such shop and no such part, and nobody gauged anything. Made by make_life.py.",
        f"# One hole in {EVERY} was gauged. What was true, and nobody at the gauge could know:",
        *(
            f"# truth: {tool}: first hole {start} mm, run in; {drift} mm per hole; {holes} holes"
            for tool, (start, drift, holes) in TOOLS.items()
        ),
        f"# truth: scatter_mm = {SCATTER_MM}",
        f"# truth: run-in: {RUN_IN_MM} mm larger at first, gone after {RUN_IN_HOLES} holes",
        f"# seed: {SEED}",
        "# The pins are those of readings_a.csv, with the true sizes that stand there.",
    ]
    columns = "hole,tool,cut,gauge,result,part_temp,gauge_temp"
    return "\n".join([*head, columns, *rows()]) + "\n"


def main() -> None:
    """Write the file."""
    path = HERE / "life_a.csv"
    path.write_text(life_text(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
