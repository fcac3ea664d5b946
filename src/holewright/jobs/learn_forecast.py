"""Forecast a job with what the record book knows of earlier ones."""

from __future__ import annotations

import math
from collections.abc import Iterator

from scipy.special import ndtri

from holewright.errors import BookError, HolewrightError, NoAnswerError
from holewright.gauging.estimate import Estimate
from holewright.gauging.reading_interval import hole_sizes
from holewright.jobs.job import Job
from holewright.jobs.keep_book import job_of
from holewright.jobs.keep_readings import holding_readings
from holewright.jobs.plan_hole import plan
from holewright.life.trend import trend_of_readings
from holewright.planning.plan import OperationKind, Plan
from holewright.records.book import Reader, Saved
from holewright.records.entries import (
    EstimateEntry,
    JobEntry,
    PlanEntry,
    ReadingEntry,
    RevisionEntry,
)
from holewright.shop.reamer import ReamerKind
from holewright.sizing.history import Kin
from holewright.sizing.learning import Learned, Outcome, learn
from holewright.sizing.reamed import wear_rate

_DRIFT_FROM = 12
"""Fewest gauged holes of one tool from which a drift is heard. [-]"""
_WEAR_DOUBT = 0.8
"""Standard uncertainty of the handbook's wear as a share of it: times or over 3. [-]"""


def learn_forecast(job: Job, book: Reader | None = None) -> Learned:
    """Return the forecast of a job, corrected by earlier jobs of the shop.

    Parameters
    ----------
    job : Job
        The job.
    book : Reader, optional
        The record book; without one the handbook stands alone.

    Returns
    -------
    Learned
        Before and after hearing the shop.

    Raises
    ------
    NoAnswerError
        If the plan has no forecast, or no reaming.
    """
    planned = plan(job)
    kind = _reamer_kind(job, planned)
    if planned.forecast is None or kind is None:
        raise NoAnswerError(f"{job.name}: no reamed size can be forecast. {planned.sentence}")
    drift = -2 * wear_rate(kind)
    past = tuple(outcomes(book, other_than=job.name)) if book is not None else ()
    return learn(
        planned.forecast,
        _kin(job, kind),
        past,
        job=job.name,
        drift=(drift, _WEAR_DOUBT * abs(drift)),
    )


def outcomes(book: Reader, *, other_than: str = "") -> Iterator[Outcome]:
    """Yield what the jobs of a book came to, as far as their readings tell a mean.

    Parameters
    ----------
    book : Reader
        The book.
    other_than : str
        Name of the job that isn't to be heard: it would confirm itself.
    """
    for entry in book.find(JobEntry):
        if entry.entry.name == other_than:
            continue
        for revision in reversed(book.find(RevisionEntry, job_id=entry.id)):
            came = _outcome(book, entry.entry.name, revision)
            if came is not None:
                yield came
                break


def _outcome(book: Reader, name: str, revision: Saved[RevisionEntry]) -> Outcome | None:
    """Return what a revision came to; None where it has no mean, or wasn't reamed."""
    kept = book.find(EstimateEntry, revision_id=revision.id)
    estimates = [saved.entry.estimate for saved in kept if saved.entry.estimate.mean is not None]
    if not estimates:
        return None
    estimate = max(reversed(estimates), key=lambda one: one.n_holes)
    try:
        job = job_of(revision.entry)
    except HolewrightError:
        return None  # written by a newer holewright, in a way that this one doesn't know
    plans = book.find(PlanEntry, revision_id=revision.id)
    planned = plans[-1].entry.plan if plans else plan(job)
    kind = _reamer_kind(job, planned)
    u_mean = _u_mean(estimate)
    if planned.forecast is None or kind is None or u_mean is None or estimate.mean is None:
        return None
    drift = _drift(book, job, revision)
    wear = -2 * wear_rate(kind)
    return Outcome(
        job=name,
        kin=_kin(job, kind),
        forecast=planned.forecast.size,
        mean=estimate.mean,
        u_mean=u_mean,
        sd=estimate.sd,
        u_log_sd=_u_log_sd(estimate),
        drift=drift[0] if drift else None,
        u_drift=drift[1] if drift else None,
        drift_forecast=wear,
        u_drift_forecast=_WEAR_DOUBT * abs(wear),
    )


def _reamer_kind(job: Job, planned: Plan) -> ReamerKind | None:
    """Return the kind of the last reamer of a plan; None where nothing is reamed."""
    operations = planned.route.operations if planned.route else ()
    reamed = [op.tool for op in operations if op.kind is OperationKind.REAM]
    if not reamed:
        return None
    kinds = {reamer.id: reamer.kind for reamer in job.shop.reamers}
    if reamed[-1] in kinds:
        return kinds[reamed[-1]]
    # One to be ordered is named by its kind.
    return next((kind for kind in ReamerKind if str(kind) in reamed[-1]), ReamerKind.HSS)


def _kin(job: Job, kind: ReamerKind) -> dict[Kin, str]:
    return {
        Kin.MATERIAL: job.material.name,
        Kin.COOLANT: str(job.coolant.fluid),
        Kin.TOOL_KIND: str(kind),
        Kin.MACHINE: job.machine.id,
    }


def _z(estimate: Estimate) -> float:
    return float(ndtri((1 + estimate.confidence) / 2))


def _u_mean(estimate: Estimate) -> float | None:
    if estimate.mean_interval is None or not all(map(math.isfinite, estimate.mean_interval)):
        return None
    low, high = estimate.mean_interval
    return max((high - low) / (2 * _z(estimate)), 1e-6)


def _u_log_sd(estimate: Estimate) -> float | None:
    if estimate.sd_interval is None:
        return None
    low, high = estimate.sd_interval
    if not (low > 0 and math.isfinite(high)):
        return None
    return max(math.log(high / low) / (2 * _z(estimate)), 1e-3)


def _drift(book: Reader, job: Job, revision: Saved[RevisionEntry]) -> tuple[float, float] | None:
    """Return the drift of the run that was followed longest, and its standard error."""
    by_run: dict[int | None, list[ReadingEntry]] = {}
    for saved in holding_readings(book, revision):
        if saved.entry.cut is not None and saved.entry.reading is not None:
            by_run.setdefault(saved.entry.run_id, []).append(saved.entry)
    best: tuple[float, float] | None = None
    for entries in by_run.values():
        cut = {e.reading.hole: float(e.cut) for e in entries if e.reading and e.cut is not None}
        if len(cut) < _DRIFT_FROM or len(set(cut.values())) < _DRIFT_FROM:
            continue
        readings = [e.reading for e in entries if e.reading is not None]
        holes, _ = hole_sizes(
            readings,
            job.shop,
            material_alpha=job.material.alpha,
            clearance=job.habits.clearance,
        )
        try:
            trend = trend_of_readings(holes, cut)
        except HolewrightError:
            continue
        if best is None or trend.se_slope < best[1]:
            best = trend.slope, trend.se_slope
    return best


def forecast_with(job: Job, chosen: str | None) -> tuple[Learned, str]:
    """Return the forecast of a job with the book that a person chose, or with the usual one.

    Parameters
    ----------
    job : Job
        The job.
    chosen : str, optional
        File or URL of the book; None: the usual one, if there is one.

    Returns
    -------
    learned : Learned
        The forecast.
    book : str
        What was heard, in words.

    Raises
    ------
    BookError
        If the book that was chosen can't be opened.
    """
    from contextlib import closing

    from holewright.jobs.look_after_book import open_at

    try:
        opened = open_at(chosen)
    except BookError:
        if chosen is not None:
            raise
        return learn_forecast(job), "There is no record book yet: the handbook stands alone."
    with closing(opened):
        learned = learn_forecast(job, opened)
    if not learned.outcomes:
        return learned, "The record book has no other job with a mean yet: the handbook stands."
    plural = "s" if learned.outcomes != 1 else ""
    return learned, f"{learned.outcomes} earlier job{plural} of the record book heard."
