"""Reads how a program is written and how the part is held: [program] and [fixture]."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields as fields_of
from dataclasses import replace
from typing import Any

from holewright.errors import InputError, Where
from holewright.jobs.fields import (
    Fields,
    choice,
    length,
    number,
    optional,
    placed,
    refuse,
    refuse_unknown,
    required,
    text,
    texts,
    whole,
    yes,
)
from holewright.jobs.toml_lines import TomlFile
from holewright.program.fixture import Fixture, KeepOut
from holewright.program.planes import Planes, usual_planes
from holewright.program.settings import (
    BoreOut,
    CommentForm,
    CycleRetract,
    DwellUnit,
    EndWord,
    FeedMode,
    HoleOrder,
    LineNumbers,
    Numbers,
    PeckCycle,
    ProgramSettings,
    StopWord,
    Travel,
)
from holewright.units import Unit, read_length

_PLANES = ("retract", "initial", "safe")


def _words(fields: Fields, key: str) -> tuple[str, ...]:
    """Return cycles, from a list or from words in one text."""
    return tuple(word.upper() for item in texts(fields, key) for word in item.split())


def _or_zero(fields: Fields, key: str) -> int:
    value = number(fields, key)
    if value != int(value):
        refuse(fields, key, "must be a whole number, 0 or more")
    return int(value)


def _upper(fields: Fields, key: str) -> str:
    return text(fields, key).upper()


_READERS: dict[str, Callable[[Fields, str], Any]] = {
    "work_offset": _upper,
    "feed_mode": choice(
        FeedMode,
        {"per minute": FeedMode.PER_MINUTE, "per revolution": FeedMode.PER_REVOLUTION},
    ),
    "numbers": choice(Numbers, {"fixed": Numbers.FIXED, "short": Numbers.SHORT}),
    "comments": choice(
        CommentForm,
        {"parentheses": CommentForm.PARENTHESES, "semicolon": CommentForm.SEMICOLON},
    ),
    "cycles": _words,
    "cycle_retract": choice(CycleRetract),
    "peck_cycle": choice(PeckCycle),
    "bore_out": choice(BoreOut, {"stopped": BoreOut.STOPPED}),
    "dwell_unit": choice(
        DwellUnit, {"seconds": DwellUnit.SECONDS, "milliseconds": DwellUnit.MILLISECONDS}
    ),
    "end": choice(EndWord),
    "program_number": whole,
    "tape_sign": yes,
    "line_numbers": choice(LineNumbers),
    "stop": choice(StopWord),
    "block_skip": yes,
    "chip_stop_every": _or_zero,
    "gauge_every": _or_zero,
    "break_check": yes,
    "subprograms": yes,
    "entry_feed": number,
    "entry_depth": number,
    "order": choice(HoleOrder),
    "travel": choice(Travel),
}
"""Each setting with what reads it; the names are those of `ProgramSettings`."""

PROGRAM_KEYS = (*_READERS, *_PLANES)
FIXTURE_KEYS = ("floor", "keep_out")
KEEP_OUT_KEYS = ("name", "x", "y", "top")


def program_settings(fields: Fields, unit: Unit, planes: Planes | None = None) -> ProgramSettings:
    """Return how a program is to be written.

    Parameters
    ----------
    fields : Fields
        The table ``[program]``; its unit is that of the print.
    unit : Unit
        Unit of the program; it decides the usual heights.
    planes : Planes, optional
        Heights that stand where the table doesn't say; the usual ones otherwise.

    Raises
    ------
    InputError
        If a key is unknown or its value can't be used.
    """
    refuse_unknown(fields, PROGRAM_KEYS)
    given = {key: _READERS[key](fields, key) for key in fields.values if key in _READERS}
    if any(key in fields.values for key in _PLANES):
        given["planes"] = _planes(fields, planes or usual_planes(unit))
    try:
        return ProgramSettings(**given)
    except InputError as error:
        raise error.at(fields.place(error.field)) from None


def changed_settings(
    settings: ProgramSettings, words: Sequence[str], unit: Unit
) -> ProgramSettings:
    """Return settings with some of them changed by words such as ``feed_mode=G95``.

    Parameters
    ----------
    settings : ProgramSettings
        Those of the job file.
    words : sequence of str
        Name and value of each setting to change.
    unit : Unit
        Unit of the program, also that of bare heights.

    Raises
    ------
    InputError
        If a name is unknown or its value can't be used.
    """
    values: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals or not value.strip():
            raise InputError("setting", word, "must be such as feed_mode=G95 or block_skip=yes")
        values[name.strip()] = value.strip()
    fields = Fields("[program]", values, lambda key: Where(f"setting {key}"), unit)
    changed = program_settings(fields, unit, settings.planes)
    given = {key: getattr(changed, key) for key in values if key in _READERS}
    if any(key in values for key in _PLANES):
        given["planes"] = changed.planes
    return replace(settings, **given)


def _planes(fields: Fields, usual: Planes) -> Planes:
    heights = {f.name: optional(fields, f.name, length, None) for f in fields_of(Planes)}
    retract = heights["retract"] or usual.retract
    initial = heights["initial"] or max(usual.initial, retract)
    try:
        return Planes(retract, initial, heights["safe"] or max(usual.safe, initial))
    except InputError as error:
        raise error.at(fields.place(error.field)) from None


def read_fixture(file: TomlFile, fields: Fields) -> Fixture:
    """Return clamps, no-go boxes and what lies under the part.

    Parameters
    ----------
    file : TomlFile
        The job file, for the lines of its keep-outs.
    fields : Fields
        The table ``[fixture]``; its unit is that of the print.

    Raises
    ------
    InputError
        If a key is unknown or its value can't be used.
    """
    refuse_unknown(fields, FIXTURE_KEYS)
    boxes = fields.values.get("keep_out", [])
    if not isinstance(boxes, list) or not all(isinstance(box, dict) for box in boxes):
        refuse(fields, "keep_out", "must be tables, each under [[fixture.keep_out]]")
    return Fixture(
        tuple(
            _keep_out(
                Fields(
                    "[[fixture.keep_out]]",
                    box,
                    lambda key, i=i: file.place("fixture", "keep_out", i, key),  # type: ignore[misc]
                    fields.unit,
                ),
                i + 1,
            )
            for i, box in enumerate(boxes)
        ),
        optional(fields, "floor", length, None),
    )


def _keep_out(fields: Fields, count: int) -> KeepOut:
    refuse_unknown(fields, KEEP_OUT_KEYS)
    x = required(fields, "x", _two_lengths, "x = [-40, -20]")
    y = required(fields, "y", _two_lengths, "y = [0, 30]")
    top = required(fields, "top", _height, 'top = "18 mm"')
    name = optional(fields, "name", text, f"keep-out {count}")
    try:
        return KeepOut(name, *x, *y, top)
    except InputError as error:
        raise error.at(fields.place("x")) from None


def _two_lengths(fields: Fields, key: str) -> tuple[float, float]:
    pair = fields.values[key]
    if not isinstance(pair, list) or len(pair) != 2:
        refuse(fields, key, "must be its two sides from the part zero, such as [-40, -20]")
    first, second = (_height(replace(fields, values={key: end}), key) for end in pair)
    return first, second


def _height(fields: Fields, key: str) -> float:
    return placed(fields, key, lambda written: read_length(written, fields.unit, key))
