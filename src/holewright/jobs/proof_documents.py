"""Estimate, verdict and choice of pins as plain JSON data; their keys are in ``proof_keys.py``."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from holewright.jobs.documents import Document, finite, job_head, reason_data

if TYPE_CHECKING:
    from holewright.gauging.estimate import Estimate
    from holewright.jobs.choose_gauges import GaugeChoice, Pair
    from holewright.jobs.hear_forecast import Heard
    from holewright.jobs.job import Job
    from holewright.jobs.sensitivity import Variant
    from holewright.proof.verdict import Verdict


def estimate_document(
    job: Job,
    estimate: Estimate,
    *,
    variants: Sequence[Variant] = (),
    heard: Heard | None = None,
) -> Document:
    """Return an estimate as JSON data, with what it hangs on and the forecast, where asked for."""
    at_95 = math.isclose(estimate.confidence, 0.95)
    return job_head("estimate", job) | {
        "mean_mm": finite(estimate.mean),
        "sd_mm": finite(estimate.sd),
        "mean_interval_mm": _interval(estimate.mean_interval),
        "sd_interval_mm": _interval(estimate.sd_interval),
        "confidence": estimate.confidence,
        "inside": {
            "share": finite(estimate.inside),
            "lower": estimate.inside_lower,
            "lower_95": estimate.inside_lower if at_95 else None,
            "by": "fitted" if estimate.bound_is_fitted else "counted",
            "counted": finite(estimate.inside_counted),
            "fitted": finite(estimate.inside_fitted),
            "interval": _interval(estimate.inside_interval),
            "below": finite(estimate.below),
            "above": finite(estimate.above),
        },
        "method": estimate.method,
        "size_kind": estimate.size_kind,
        "n_holes": estimate.n_holes,
        "good": estimate.good,
        "bad": estimate.bad,
        "unsure": estimate.unsure,
        "intervals": [
            {
                "hole": hole.hole,
                "lower_mm": finite(hole.lower),
                "upper_mm": finite(hole.upper),
                "u_mm": hole.u,
                "shown": str(hole.shown) if hole.shown else None,
            }
            for hole in estimate.holes
        ],
        "contradictions": [reason_data(reason) for reason in estimate.contradictions],
        "remarks": [reason_data(reason) for reason in estimate.remarks],
        "limits_of_knowledge": [reason_data(reason) for reason in estimate.limits_of_knowledge],
        "sensitivity": [
            {
                "clearance_mm": variant.clearance,
                "feel_mm": variant.feel,
                "good": variant.good,
                "inside_lower": variant.inside_lower,
                "mean_mm": finite(variant.mean),
                "sd_mm": finite(variant.sd),
            }
            for variant in variants
        ],
        "with_forecast": heard_data(heard) if heard is not None else None,
    }


def heard_data(heard: Heard) -> Document:
    """Return forecast, readings and both together."""
    both = heard.both
    return {
        "prior": {
            "mean_mm": heard.prior_mean,
            "u_mm": heard.prior_u,
            "sd_mm": heard.prior_sd,
            "inside": heard.prior_inside,
        },
        "mean_mm": both.mean,
        "mean_interval_mm": _interval(both.mean_interval),
        "sd_mm": both.sd,
        "sd_interval_mm": _interval(both.sd_interval),
        "inside": both.inside,
        "inside_interval": _interval(both.inside_interval),
        "outside_in_lot_upper": both.outside_in_lot,
        "ppk": finite(heard.ppk),
        "ppk_lower": finite(heard.ppk_lower),
        "draws": both.draws,
        "trusted": heard.trusted,
    }


def verdict_document(job: Job, verdict: Verdict, *, heard: Heard | None = None) -> Document:
    """Return a verdict as JSON data, with the forecast beside it where asked for."""
    return job_head("verdict", job) | {
        "verdict": str(verdict.decision),
        "sentence": verdict.sentence,
        "because": [reason_data(reason) for reason in verdict.because],
        "next": [
            {"text": step.text, "holes": step.holes, "gauge": step.gauge} for step in verdict.next
        ],
        "inside_lower": verdict.inside_lower,
        "lot": verdict.lot,
        "outside_in_lot_upper": verdict.outside_in_lot_upper,
        "ppk": finite(verdict.ppk),
        "ppk_lower": finite(verdict.ppk_lower),
        "demands": {
            "inside": verdict.demands.inside,
            "confidence": verdict.demands.confidence,
            "ppk": verdict.demands.ppk,
            "guard": verdict.demands.guard,
            "source": verdict.demands.source,
        },
        "with_forecast": heard_data(heard) if heard is not None else None,
        "cautions": list(verdict.cautions),
    }


def pins_document(job: Job, chosen: GaugeChoice) -> Document:
    """Return which pins to gauge with as JSON data."""
    return job_head("pins", job) | {
        "forecast": {
            "mean_mm": chosen.mean,
            "sd_mm": chosen.sd,
            "outside": chosen.outside,
        },
        "bad_costs": chosen.bad_costs,
        "proving": _pair(chosen.proving),
        "least_wrong": _pair(chosen.least_wrong),
        "ideal": {
            "go_mm": chosen.choice.ideal_go,
            "no_go_mm": chosen.choice.ideal_no_go,
            "grade": chosen.choice.grade or None,
        },
        "reasons": [reason_data(reason) for reason in chosen.choice.reasons],
    }


def _pair(pair: Pair) -> Document:
    return {
        "go": pair.go.id if pair.go else None,
        "no_go": pair.no_go.id if pair.no_go else None,
        "passes_bad": pair.passes_bad,
        "refuses_good": pair.refuses_good,
        "at_lower": {
            "passes_bad": pair.lower.passes_bad,
            "refuses_good": pair.lower.refuses_good,
        },
        "at_upper": {
            "passes_bad": pair.upper.passes_bad,
            "refuses_good": pair.upper.refuses_good,
        },
    }


def _interval(interval: tuple[float, float] | None) -> list[float | None] | None:
    return None if interval is None else [finite(bound) for bound in interval]
