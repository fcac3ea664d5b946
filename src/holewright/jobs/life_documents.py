"""Tool life and what was learned of the forecast, as plain JSON data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holewright.jobs.documents import Document, finite, forecast_data, job_head, reason_data

if TYPE_CHECKING:
    from holewright.jobs.follow_tools import Followed, Lives
    from holewright.jobs.job import Job
    from holewright.life.change import Change
    from holewright.sizing.history import Corrected
    from holewright.sizing.learning import Learned


def life_document(lives: Lives, path: str | None = None) -> Document:
    """Return what was found of the tools of a job.

    Parameters
    ----------
    lives : Lives
        The tools.
    path : str, optional
        Where the run chart was written.
    """
    like, current = lives.like, lives.current
    return job_head("life", lives.job) | {
        "sentence": current.change.sentence,
        "tool": current.tool,
        "tools": [_tool(one) for one in lives.followed],
        "not_followed": [reason_data(reason) for reason in lives.not_followed],
        "contradictions": [reason_data(reason) for reason in lives.contradictions],
        "like": None
        if like is None or lives.new is None
        else {
            "start_mm": like.start.mean,
            "start_between_mm": like.start.between,
            "drift_mm_100": 100 * like.drift.mean,
            "drift_between_mm_100": 100 * like.drift.between,
            "new_due": lives.new.hole,
            "new_due_likely": lives.new.likely,
        },
        "breaks": None
        if lives.survival is None
        else {
            "scale_holes": lives.survival.scale,
            "shape": lives.survival.shape,
            "failed": lives.survival.failed,
        },
        "cautions": list(current.change.cautions),
        "path": path,
    }


def _tool(one: Followed) -> Document:
    change, trend, run = one.change, one.change.trend, one.change.run
    crossing, bend = change.crossing, change.bend
    return {
        "tool": one.tool,
        "sentence": change.sentence,
        "holes_cut": max(one.cut.values()),
        "holes_gauged": len(one.holes),
        "trend": {
            "middle_hole": trend.middle,
            "middle_mm": float(trend.at(trend.middle)),
            "drift_mm_100": 100 * trend.slope,
            "drift_se_mm_100": 100 * trend.se_slope,
            "scatter_mm": trend.sd,
            "bend_hole": trend.knee,
            "method": "least squares" if trend.fit is None else "interval regression",
        },
        "bend": None if bend is None else {"hole": bend.trend.knee, "p": bend.p},
        "due": _due(change.change),
        "crossing": None
        if crossing is None or crossing.hole is None
        else {
            "limit_mm": crossing.limit,
            "hole": crossing.hole,
            "lower": finite(crossing.lower),
            "upper": finite(crossing.upper),
            "confidence": crossing.confidence,
            "method": crossing.method,
        },
        "run": {
            "first": run.first,
            "holes": run.holes,
            "any_outside": run.any_outside,
            "expected_outside": run.expected_outside,
            "breaks": run.breaks,
            "breaks_upper": run.breaks_upper,
            "parts_at_risk": run.parts_at_risk,
            "minutes": run.minutes,
        },
        "check_every": change.check_every,
        "because": [reason_data(reason) for reason in change.because],
    }


def _due(change: Change) -> Document:
    return {
        "hole": change.hole,
        "likely": change.likely,
        "target": change.target,
        "confidence": change.confidence,
        "side": change.side,
        "outside": change.outside,
        "reach": change.reach,
    }


def learned_document(job: Job, learned: Learned) -> Document:
    """Return a forecast before and after hearing the shop.

    Parameters
    ----------
    job : Job
        The job.
    learned : Learned
        What was learned.
    """
    return job_head("forecast", job) | {
        "forecast": forecast_data(learned.forecast),
        "prior": forecast_data(learned.prior),
        "jobs_heard": learned.outcomes,
        "offset": _corrected(learned.offset),
        "scatter": _corrected(learned.scatter),
        "drift": None if learned.drift is None else _corrected(learned.drift),
    }


def _corrected(one: Corrected) -> Document:
    data = one.data
    return {
        "prior": one.prior_mean,
        "prior_sd": one.prior_sd,
        "data": None if data is None else data[0],
        "data_u": None if data is None else data[1],
        "value": one.mean,
        "sd": one.sd,
        "jobs": one.jobs,
        "handbook_factor": one.handbook,
        "own_factor": one.own,
        "shares": [
            {
                "kin": str(share.kin),
                "name": share.name,
                "prior_sd": share.prior_sd,
                "value": share.mean,
                "sd": share.sd,
                "jobs": share.jobs,
            }
            for share in one.shares
        ],
    }
