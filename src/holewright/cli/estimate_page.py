"""The page of an estimate, for people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from holewright.jobs.hear_forecast import FEW_DRAWS
from holewright.jobs.sensitivity import say_variants
from holewright.proof.judge import NO_EVIDENCE
from holewright.shares import share_as_asked, share_at_least
from holewright.sheets.proof_data import share_words
from holewright.sheets.sizes import range_pair, size_pair, small_pair
from holewright.sheets.zone_strip import PinMark, estimate_strip, pin_mark, zone_strip_text

if TYPE_CHECKING:
    from holewright.cli.output import Page
    from holewright.gauging.estimate import Estimate
    from holewright.gauging.reading import Reading
    from holewright.jobs.hear_forecast import Heard
    from holewright.jobs.job import Job
    from holewright.jobs.sensitivity import Variant
    from holewright.units import Unit

PINS_SHOWN = 4


def show_estimate(
    page: Page,
    job: Job,
    readings: Sequence[Reading],
    estimate: Estimate,
    *,
    variants: Sequence[Variant] = (),
    heard: Heard | None = None,
) -> None:
    """Print an estimate for people, in the unit of the job first."""
    sure = share_as_asked(estimate.confidence)
    page.verdict(
        f"AT LEAST {share_at_least(estimate.inside_lower)} INSIDE",
        f"{job.callout.text}, {sure} sure, {estimate.n_holes} holes",
    )
    page.points(_sentences(estimate, job.unit))
    page.gap()
    strip = estimate_strip(job.gauged_limits, job.unit, estimate, pins_used(job, readings))
    width = min(page.columns - 2, 78)
    page.as_is(f" {line}" for line in zone_strip_text(strip, width, page.plain).splitlines())
    if estimate.contradictions:
        page.heading("Readings that can't all be true")
        page.points(str(reason) for reason in estimate.contradictions)
    seen = [reason for reason in estimate.remarks if reason.code not in NO_EVIDENCE]
    if seen:
        page.heading("What the sizes look like")
        page.points(str(reason) for reason in seen)
    page.heading("What keeps this from being known better")
    page.points((str(reason) for reason in estimate.limits_of_knowledge), mark="1")
    if variants:
        page.heading("What it hangs on: how easily a pin goes, and how sharply that is felt")
        page.points(say_variants(variants, job.unit))
    if heard is not None:
        show_heard(page, estimate, heard, job.unit)
    page.heading("How it was reckoned")
    page.points([f"{estimate.method}.".replace("..", "."), f"Size: {estimate.size_kind}."])


def _sentences(estimate: Estimate, unit: Unit) -> Iterator[str]:
    yield (
        f"{estimate.good} shown inside, {estimate.bad} shown outside, "
        f"{estimate.unsure} not settled by these gauges."
    )
    if estimate.mean is None or estimate.sd is None:
        yield "No mean and no spread: these readings have no finite fit."
    else:
        sure, mean, spread = f"; {100 * estimate.confidence:g} % sure from", "", ""
        if estimate.mean_interval:
            mean = f"{sure} {range_pair(*estimate.mean_interval, unit)}"
        if estimate.sd_interval:
            low, high = (small_pair(mm, unit) for mm in estimate.sd_interval)
            spread = f"{sure} {low} to {high}"
        yield f"Mean {size_pair(estimate.mean, unit)}{mean}."
        yield f"Standard deviation {small_pair(estimate.sd, unit)}{spread}."
    if estimate.inside is not None:
        outside = [
            f"{share_words(share)} {side}"
            for side, share in (("below", estimate.below), ("above", estimate.above))
            if share is not None
        ]
        yield f"Best estimate: {share_words(estimate.inside)} inside" + (
            f", {', '.join(outside)}." if outside else "."
        )


def show_heard(page: Page, estimate: Estimate, heard: Heard, unit: Unit) -> None:
    """Print what the forecast says, what the readings say, and both together."""
    both, nothing = heard.both, "can't tell"
    spread = " to ".join(small_pair(end, unit) for end in both.sd_interval)
    page.heading("With the forecast: what it says, what the readings say, and both")
    fitted = estimate.mean is not None and estimate.sd is not None
    page.table(
        ("", "mean", "spread", "inside"),
        [
            (
                "forecast",
                f"{size_pair(heard.prior_mean, unit)}, u {small_pair(heard.prior_u, unit)}",
                small_pair(heard.prior_sd, unit),
                share_words(heard.prior_inside),
            ),
            (
                "readings",
                size_pair(estimate.mean, unit) if estimate.mean is not None else nothing,
                small_pair(estimate.sd, unit) if estimate.sd is not None else nothing,
                share_words(estimate.inside) if estimate.inside is not None else nothing,
            ),
            (
                "both",
                range_pair(*both.mean_interval, unit),
                spread,
                f"{share_words(both.inside)} ({share_at_least(both.inside_interval[0])} or more)",
            ),
        ],
    )
    sure = share_as_asked(estimate.confidence)
    points = [f"Ppk {heard.ppk:.2f}, at least {heard.ppk_lower:.2f}, {sure} sure."]
    if both.outside_in_lot is not None:
        points.append(
            f"Of the holes not checked, at most {both.outside_in_lot:,} are outside, {sure} sure."
        )
    points.append(
        f"{both.draws:,.0f} of {heard.of_draws:,} draws count (importance sampling about Laplace's "
        f"approximation)"
        + (
            "."
            if heard.trusted
            else f": under {FEW_DRAWS}, so don't trust the ends of these intervals."
        )
    )
    if not fitted:
        points.append("The readings alone have no fit, so what stands here is mostly the forecast.")
    points.append("A release never rests on the forecast.")
    page.points(points)


def pins_used(job: Job, readings: Sequence[Reading], most: int = PINS_SHOWN) -> tuple[PinMark, ...]:
    """Return the pins that were used most, as marks of the zone strip."""
    used = Counter(reading.gauge for reading in readings if reading.goes is not None)
    often = {gauge for gauge, _ in used.most_common(most)}
    return tuple(pin_mark(pin) for pin in job.shop.pins if pin.id in often)
