"""What stands at the head of a program: what it makes, how it is written, and the cautions."""

from __future__ import annotations

from collections.abc import Sequence

from holewright.program.blocks import TAPE, comment
from holewright.program.cautions import CAUTIONS, DESPITE_HOLD, HOLD
from holewright.program.operation import tool_line
from holewright.program.program import Feature, Step
from holewright.program.settings import DwellUnit, FeedMode, ProgramSettings, StopWord
from holewright.shop.coolant import Coolant, Fluid
from holewright.units import Unit


def all_cautions(own: tuple[str, ...], *, hold: bool, despite: str) -> tuple[str, ...]:
    """Return the cautions of a program, the most pressing first.

    Parameters
    ----------
    own : tuple of str
        Cautions of the job.
    hold : bool
        Whether it is not released.
    despite : str
        Why it is on hold, where the program is written nevertheless; empty otherwise.
    """
    first = ((DESPITE_HOLD.format(despite),) if despite else ()) + ((HOLD,) if hold else ())
    return first + tuple(dict.fromkeys(CAUTIONS + own))


def header(
    features: Sequence[Feature],
    steps: Sequence[Step],
    *,
    unit: Unit,
    name: str,
    notes: Sequence[str],
    cautions: Sequence[str],
    settings: ProgramSettings,
) -> list[str]:
    """Return the comment blocks at the head of a program, its number before them.

    Parameters
    ----------
    features : sequence of Feature
        What it makes.
    steps : sequence of Step
        Its operations in order.
    unit : Unit
        Unit of its words.
    name : str
        Job.
    notes : sequence of str
        Further lines.
    cautions : sequence of str
        Cautions.
    settings : ProgramSettings
        How it is written.
    """
    holes = sum(len(feature.positions) for feature in features)
    said = [f"Job: {name}"]
    for feature in features:
        said += [f"Callout: {feature.callout_text}", f"Route: {feature.route.name}"]
    said += [*notes, f"{holes} holes, all lengths in {unit}", _manner(settings)]
    cuts = [step for step in steps if step.holes]
    said += dict.fromkeys(tool_line(step.operation, step.tool, unit) for step in cuts)
    said += [f"Caution: {caution}" for caution in cautions]
    said += dict.fromkeys(
        words for feature in features if (words := _through_words(feature.coolant))
    )
    return [
        *([TAPE] if settings.tape_sign else []),
        *([f"O{settings.program_number}"] if settings.program_number is not None else []),
        *(line for words in said for line in comment(words)),
    ]


def _manner(settings: ProgramSettings) -> str:
    """Return how the words are meant, where controls differ."""
    per = "revolution" if settings.feed_mode is FeedMode.PER_REVOLUTION else "minute"
    milli = settings.dwell_unit is DwellUnit.MILLISECONDS
    said = f"{settings.work_offset}, feed by the {per}, dwell P in {'milli' * milli}seconds"
    if settings.block_skip:
        return f"{said}, blocks with / are stops that may be skipped"
    if settings.stop is StopWord.OPTIONAL:
        return f"{said}, M1 stops while the optional stop is on"
    return said


def coolant_word(coolant: Coolant | None) -> str:
    """Return M8 for flood, M7 for mist, or nothing for dry.

    Parameters
    ----------
    coolant : Coolant, optional
        The coolant; flood where it isn't given.
    """
    if coolant is None:
        return "M8"
    return {Fluid.DRY: "", Fluid.MQL: "M7"}.get(coolant.fluid, "M8")


def _through_words(coolant: Coolant | None) -> str:
    if coolant is None or not coolant.through or coolant.fluid is Fluid.DRY:
        return ""
    return (
        f"Coolant through the tool at {coolant.pressure:g} bar: put this machine's word for it "
        f"in place of {coolant_word(coolant)}."
    )
