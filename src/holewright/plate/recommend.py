"""Which setting of a plate to run, why not the others, and what the plate did not show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holewright.plate.effect import PlateEffect
from holewright.plate.factors import Factor, FactorKind
from holewright.plate.plate import RowResult
from holewright.reasons import Reason
from holewright.units import Unit, format_small

AS_GOOD = 0.01
"""Settings within this share of the best are taken as equally good. [-] Own judgement."""
CHIPS_FROM = 0.9
"""Share of holes whose chips must leave by themselves. [-] Own judgement."""
FINISH_FROM = 0.95
"""How likely a hole must keep the greatest Ra. [-] Own judgement."""


@dataclass(frozen=True)
class Recommended:
    """The setting to run.

    Parameters
    ----------
    row : int, optional
        Its row; None where none keeps what is asked.
    sentence : str
        In one sentence.
    because : tuple of Reason
        Why that one, then why not each other.
    """

    row: int | None
    sentence: str
    because: tuple[Reason, ...]


def recommend(rows: Sequence[RowResult], *, inside: float) -> Recommended:
    """Return the setting to run: of those that keep what is asked, the fastest.

    Parameters
    ----------
    rows : sequence of RowResult
        What each setting gave.
    inside : float
        Share of holes inside that is asked for. [-]

    Returns
    -------
    Recommended
        Chips that nest rule a setting out first, then finish, then size.

    Notes
    -----
    By best estimates: a plate is small. What is recommended is to be proven by a run at this
    one setting, not released by the plate.
    """
    most = max(row.inside for row in rows)
    kept, because = [], []
    for i, row in enumerate(rows):
        fault = _fault(row, most)
        if fault is None:
            kept.append(i)
        else:
            because.append(fault)
    if not kept:
        return Recommended(
            None,
            "No setting of this plate is good enough to run: change the tool, the coolant or "
            "the stock, and cut another.",
            tuple(because),
        )
    best = max(kept, key=lambda i: (round(rows[i].speed, 6), rows[i].inside))
    row = rows[best]
    slower = [rows[i].words for i in kept if i != best]
    because.insert(
        0,
        Reason(
            "fastest-of-the-good",
            f"{_capital(row.words)}: {_share(row.inside)} inside by this plate"
            + (f"; as good but slower or no faster: {'; '.join(slower)}." if slower else "."),
            row.inside,
            inside,
            "share",
        ),
    )
    short = (
        ""
        if row.inside >= inside
        else f" Even so only {_share(row.inside)} are inside, {100 * inside:.6g} % is asked: the "
        f"mean must come nearer the middle, by another reamer, before anything is released."
    )
    return Recommended(
        best,
        f"Run {row.words}. Prove it by a run at this one setting; a plate doesn't release a "
        f"job.{short}",
        tuple(because),
    )


def _fault(row: RowResult, most: float) -> Reason | None:
    words = _capital(row.words)
    if row.good_chips is not None and row.good_chips < CHIPS_FROM:
        return Reason(
            "chips",
            f"{words}: the chips of {100 * row.good_chips:.0f} % of the holes leave by themselves, "
            f"{100 * CHIPS_FROM:.0f} % are wanted.",
            row.good_chips,
            CHIPS_FROM,
            "share",
        )
    if row.ra_within is not None and row.ra_within < FINISH_FROM:
        return Reason(
            "finish",
            f"{words}: Ra {row.ra:.2g} µm, only {100 * row.ra_within:.0f} % of holes keep the "
            f"drawing's; {100 * FINISH_FROM:.0f} % are wanted.",
            row.ra_within,
            FINISH_FROM,
            "share",
        )
    if row.inside < most - AS_GOOD:
        return Reason(
            "size",
            f"{words}: {_share(row.inside)} inside, {_share(most)} at the best setting.",
            row.inside,
            most,
            "share",
        )
    return None


def not_shown(
    factors: Sequence[Factor],
    size: Sequence[PlateEffect],
    *,
    holes: int,
    chips_noted: bool,
    finish_measured: bool,
    finish_asked: bool,
    widened: float,
    unit: Unit = Unit.MM,
) -> tuple[str, ...]:
    """Return what a plate did not show, so that nobody reads it into it.

    Parameters
    ----------
    factors : sequence of Factor
        What was varied.
    size : sequence of PlateEffect
        Effects on size with their intervals.
    holes : int
        Holes cut. [-]
    chips_noted, finish_measured, finish_asked : bool
        Whether chip form was noted, Ra measured, and Ra asked for by the drawing.
    widened : float
        How much wider the order of cutting made the worst interval. [-]
    unit : Unit
        Unit that sentences say first.
    """
    varied = {factor.kind for factor in factors}
    others = [str(kind) for kind in FactorKind if kind not in varied]
    said = [
        f"What {', '.join(others[:-1])} and {others[-1]} do: only "
        f"{' and '.join(sorted(str(kind) for kind in varied))} was varied."
        if len(others) > 1
        else "What other materials, lots and clampings do.",
        f"How the size goes on after hole {holes}: this is the beginning of one reamer's life.",
        "Whether another lot of material, another clamping or a warm machine does the same.",
        "Whether the scatter differs from setting to setting: it was taken as one for all.",
    ]
    said += [
        f"An effect of {effect.step} below about {format_small(_half(effect), unit)}: smaller "
        f"ones don't stand out of the scatter of these holes."
        for effect in size
        if not effect.shown and _half(effect) < float("inf")
    ]
    if widened > 1.5:
        said.append(
            f"Drift and setting apart from each other: the order of cutting made the worst "
            f"interval {widened:.1f} times as wide. Shuffle the order next time."
        )
    if not chips_noted:
        said.append("What the chips did: nobody noted them.")
    if finish_asked and not finish_measured:
        said.append("The finish that the drawing asks for: nobody measured it.")
    return tuple(said)


def _half(effect: PlateEffect) -> float:
    return max(effect.upper - effect.value, effect.value - effect.lower)


def _share(share: float) -> str:
    return "over 99.9 %" if share > 0.999 else f"{100 * share:.1f} %"


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]
