"""The form of a hole in sentences, as a picture, and as plain JSON data."""

from __future__ import annotations

from holewright.cutting.outline_sizes import OutlineSizes
from holewright.jobs.documents import Document, job_head
from holewright.jobs.form_hole import FormStudy
from holewright.jobs.job import Job
from holewright.sheets.polar import PolarPlot
from holewright.units import Unit, format_small

MODEL_LIMITS = (
    "Heights of lobes are no forecast: three constants of the margins are guesses, and no "
    "measured hole has been held against them.",
    "Land, helix, tilt, entry and exit, heat and chatter at the tool's own frequency are left "
    "out; a long land wipes lobes away and makes the hole larger instead.",
    "Lobes N - 1 in ordinary sharp cutting have been seen, and this model doesn't give them.",
)
"""What stands below every answer on form."""

_TELLING = 0.0001
"""Least amplitude of lobes worth naming. [mm]"""


def form_sentences(study: FormStudy, unit: Unit) -> tuple[str, ...]:
    """Return what theory and simulation say, in plain words.

    Parameters
    ----------
    study : FormStudy
        The study.
    unit : Unit
        Unit shown.
    """
    teeth = len(study.case.spacing)
    how = "evenly spaced" if study.even else "unevenly spaced as given"
    said = [_whirl_sentence(study, teeth, how)]
    worst = max(range(2, len(study.lobes)), key=lambda n: study.lobes[n])
    if study.lobes[worst] >= _TELLING:
        said.append(
            f"Simulated, the wall has {worst} lobes of "
            f"{format_small(study.lobes[worst], unit)} amplitude: {_blind(worst)}, and a pin "
            "feels less than the mean by twice the amplitude."
        )
    else:
        said.append("Simulated, the wall comes out round but for the first turns.")
    if study.readings is not None:
        parted = study.readings
        said.append(
            f"By the indicator the edges run out by {format_small(parted.tir, unit)} as one body, "
            f"and stand {format_small(parted.uneven, unit)} apart beyond that. A better seat or "
            "a slim shank takes the first away, never the second."
        )
    return tuple(said)


def _whirl_sentence(study: FormStudy, teeth: int, how: str) -> str:
    head = f"{teeth} teeth, {how}: whirl"
    if study.quiet:
        return (
            f"{head} dies out, by a factor of {study.growth:.2f} in a turn; from 1 on it would "
            "build up, and from 0.8 it isn't trusted."
        )
    way = "backward" if study.whirl.turns_per_revolution < 0 else "forward"
    turns = abs(float(study.whirl.turns_per_revolution))
    lobes = int(study.whirl.lobes)
    where = f"{turns:.1f} times {way} in a turn, which would leave {lobes} lobes"
    if study.unpredictable:
        return (
            f"{head} grows by a factor of {study.growth:.2f} in a turn, {where}. Feed more, leave "
            "less stock, or take a stiffer tool, a shorter lead or unequal spacing."
        )
    return f"{head} hardly dies out, by a factor of {study.growth:.2f} in a turn, {where}."


def _blind(lobes: int) -> str:
    two, three = lobes % 2 == 0, lobes % 3 == 0
    if two and three:
        return "two-point and three-point gauges both see them"
    if two:
        return "a two-point gauge sees them, one with three points at 120 degrees doesn't"
    if three:
        return "three points at 120 degrees see them, a two-point gauge doesn't"
    return "a two-point gauge and one with three points at 120 degrees are both blind to them"


def polar_plot(job: Job, study: FormStudy, unit: Unit) -> PolarPlot:
    """Return the wall at the last level, ready to draw."""
    title = f"Simulated wall of {job.callout.text} at {study.levels[-1].depth:.1f} mm depth"
    return PolarPlot(title, study.outline, study.levels[-1].sizes.pin, unit)


def form_document(job: Job, study: FormStudy) -> Document:
    """Return the form of a hole as JSON data."""
    return job_head("form", job) | {
        "reamer": study.point.reamer.id,
        "holder": study.point.holder.id,
        "reamer_mm": study.point.reamer.DC.value,
        "spacing_deg": [float(angle) for angle in study.case.spacing],
        "even": study.even,
        "growth": study.growth,
        "turns_per_revolution": float(study.whirl.turns_per_revolution)
        if not study.quiet
        else None,
        "lobes": int(study.whirl.lobes) if not study.quiet else None,
        "sentences": list(form_sentences(study, job.unit)),
        "stiffness_n_mm": study.case.stiffness,
        "f_mm_rev": study.case.f,
        "stock_side_mm": study.case.a_p,
        "eccentricity_mm": study.case.eccentricity,
        "tooth_errors_mm": [float(error) for error in study.case.tooth_error],
        "levels": [{"depth_mm": level.depth} | _sizes_data(level.sizes) for level in study.levels],
        "straight_pin_mm": study.pin,
        "harmonics_mm": list(study.lobes),
        "outline_mm": [float(r) for r in study.outline],
        "not_in_the_model": list(MODEL_LIMITS),
    }


def _sizes_data(sizes: OutlineSizes) -> Document:
    return {
        "mean_mm": sizes.mean,
        "pin_mm": sizes.pin,
        "circumscribed_mm": sizes.circumscribed,
        "two_point_mm": list(sizes.two_point),
        "three_point_mm": list(sizes.three_point),
        "roundness_mm": sizes.roundness,
    }
