"""Reads what a person asks of a test plate: which factors, which levels, which not together."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from holewright.errors import InputError
from holewright.jobs.fields import nearest
from holewright.jobs.job import Job
from holewright.plate.factors import LENGTHS, SHARES, Factor, FactorKind, Level, Setting
from holewright.plate.layout import Order
from holewright.units import Unit, read_length, read_number

USUAL = (Factor(FactorKind.FEED, (0.70, 0.85, 1.00, 1.15, 1.30)),)
"""What is varied where nobody says: feed, five rows. The sign of its effect is disputed."""

_FORM = re.compile(r"\s*(?P<kind>[a-z]+)(?:\s*[=:]\s*|\s+)(?P<levels>.+?)\s*", re.IGNORECASE)
_LEVELS = 'must be such as "feed=70,85,100,115,130 %", "stock=0.15,0.25 mm" or "holder=A;B"'
_LEAST, _MOST = 0.1, 5.0
"""No level of feed or speed lies beyond a tenth or five times what is planned. [-]"""


@dataclass(frozen=True)
class PlateRequest:
    """What is asked of a plate.

    Parameters
    ----------
    factors : tuple of Factor
        What to vary.
    without : tuple of tuple
        Levels that must not meet, as pairs of factor and level.
    order : Order
        In which order to cut.
    a_row : int, optional
        Holes a row; None: as many as it takes to see `see`. [-]
    see : float, optional
        Difference between two rows to be seen; None: a fifth of the tolerance. [mm]
    settings : int, optional
        How many settings to cut, the best of all; None: all that are allowed. [-]
    halvings : int
        How often to halve a plate of two-level factors; 0 for all of it. [-]
    pitch : float, optional
        Distance of neighbours; None: two diameters. [mm]
    seed : int
        Seed of a random order. [-]
    power : float
        How often a difference that is there is to be seen. [-]
    """

    factors: tuple[Factor, ...] = USUAL
    without: tuple[tuple[tuple[FactorKind, Level], ...], ...] = ()
    order: Order = Order.BLOCKS
    a_row: int | None = None
    see: float | None = None
    settings: int | None = None
    halvings: int = 0
    pitch: float | None = None
    seed: int = 1
    power: float = 0.8


def read_factors(written: Sequence[str], job: Job) -> tuple[Factor, ...]:
    """Return the factors that a person wrote.

    Parameters
    ----------
    written : sequence of str
        Such as ``feed=70,85,100,115,130 %`` or ``holder=hydraulic 12;collet 32``.
    job : Job
        The job: its unit, and its tool room for names.

    Raises
    ------
    InputError
        If a factor or a level isn't understood, or comes twice.
    """
    factors = tuple(_factor(text, job) for text in written)
    kinds = [factor.kind for factor in factors]
    for kind in kinds:
        if kinds.count(kind) > 1:
            raise InputError("vary", kind, "must be named once, with all its levels")
    return factors


def read_without(
    written: Sequence[str], factors: Sequence[Factor], unit: Unit
) -> tuple[tuple[tuple[FactorKind, Level], ...], ...]:
    """Return the levels that must not meet.

    Parameters
    ----------
    written : sequence of str
        Such as ``feed=130 & speed=120``.
    factors : sequence of Factor
        What is varied.
    unit : Unit
        Unit of bare lengths.

    Raises
    ------
    InputError
        If a factor isn't varied or a level isn't among its levels.
    """
    by_kind = {factor.kind: factor for factor in factors}
    found = []
    for text in written:
        pairs: list[tuple[FactorKind, Level]] = []
        for part in text.split("&"):
            kind, levels = _split(part, "without")
            factor = by_kind.get(kind)
            if factor is None:
                raise InputError(
                    "without", text, f"must name factors that are varied: {', '.join(by_kind)}"
                )
            (level,) = _levels(kind, levels, unit, "without") or ("",)
            if level not in factor.levels:
                known = ", ".join(factor.words(known, unit) for known in factor.levels)
                raise InputError("without", text, f"must name levels that are varied: {known}")
            pairs.append((kind, level))
        found.append(tuple(pairs))
    return tuple(found)


def allowed(
    settings: Sequence[Setting],
    factors: Sequence[Factor],
    without: Sequence[Sequence[tuple[FactorKind, Level]]],
) -> tuple[Setting, ...]:
    """Return the settings in which no levels meet that must not.

    Parameters
    ----------
    settings : sequence of tuple
        All settings.
    factors : sequence of Factor
        What is varied.
    without : sequence of sequence of (FactorKind, level)
        Levels that must not meet.
    """
    place = {factor.kind: i for i, factor in enumerate(factors)}
    return tuple(
        setting
        for setting in settings
        if not any(all(setting[place[k]] == level for k, level in group) for group in without)
    )


def read_level(kind: FactorKind, written: str, unit: Unit, field: str) -> Level:
    """Return one level of a factor as a person writes it.

    Parameters
    ----------
    kind : FactorKind
        The factor.
    written : str
        ``115 %``, ``0.25 mm``, ``collet 32``.
    unit : Unit
        Unit of a bare length.
    field : str
        Name to use in an error.

    Raises
    ------
    InputError
        If it isn't understood.
    """
    text = written.strip()
    if kind in SHARES:
        share = float(read_number(text.rstrip("%").strip(), field)) / 100
        if not _LEAST <= share <= _MOST:
            raise InputError(
                field, written, f"must be in % of what is planned, {100 * _LEAST:.0f} to 500"
            )
        return share
    if kind in LENGTHS:
        return read_length(text, unit, field)
    if not text:
        raise InputError(field, written, "must be a name")
    return text


def _factor(written: str, job: Job) -> Factor:
    kind, levels = _split(written, "vary")
    factor = Factor(kind, tuple(_levels(kind, levels, job.unit, "vary")))
    known = {
        FactorKind.HOLDER: [holder.id for holder in job.shop.holders],
        FactorKind.REAMER: [reamer.id for reamer in job.shop.reamers],
    }.get(kind)
    if known is not None:
        for level in factor.levels:
            if level not in known:
                hint = nearest(str(level), known)
                raise InputError("vary", level, f"is not in the tool room; {hint}")
    return factor


def _split(written: str, field: str) -> tuple[FactorKind, str]:
    match = _FORM.fullmatch(written)
    if match is None:
        raise InputError(field, written, _LEVELS)
    word = match["kind"].lower()
    if word not in list(FactorKind):
        raise InputError(field, word, f"is not a factor; {nearest(word, list(FactorKind))}")
    return FactorKind(word), match["levels"]


def _levels(kind: FactorKind, written: str, unit: Unit, field: str) -> list[Level]:
    if kind not in SHARES | LENGTHS:
        return [read_level(kind, part, unit, field) for part in written.split(";")]
    # A unit behind the last level stands for all.
    parts = [part for part in re.split(r"[;,\s]+(?=[\d.])", written.strip()) if part]
    tail = re.sub(r"^[\d.,/]+", "", parts[-1]).strip()
    parts = [part if not tail or part.endswith(tail) else f"{part} {tail}" for part in parts]
    return [read_level(kind, part, unit, field) for part in parts]
