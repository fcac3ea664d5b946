"""Each document as plain JSON data. What the keys mean stands in ``document_keys.py``.

Lengths are in mm and end in ``_mm``, whatever the unit of the print. Numbers that do not
exist (no bound, no fit) are null; there is no NaN and no infinity.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from holewright.jobs.bench import software_version
from holewright.jobs.forecast_documents import hypotheses_data, sensitivities_data

if TYPE_CHECKING:
    from pathlib import Path

    from holewright.callout.callout import Callout
    from holewright.gauging.limit_pins import IdealPins
    from holewright.jobs.job import Job
    from holewright.jobs.read_limits import HoleLimits
    from holewright.jobs.run_demo import DemoJob
    from holewright.planning.plan import Operation, Plan, Route
    from holewright.program.program import Program
    from holewright.proof.verdict import Verdict
    from holewright.reasons import Reason
    from holewright.sizing.forecast import Forecast
    from holewright.uncertainty import Known

FORMAT = 1
"""Version of the JSON documents: a key that changes its meaning raises it."""

Document = dict[str, Any]


def finite(value: float | None) -> float | None:
    """Return a number as JSON can hold it: null for none, for infinity and for no number."""
    return value if value is not None and math.isfinite(value) else None


def head(kind: str) -> Document:
    """Return what every document begins with."""
    return {"document": kind, "version": FORMAT, "software": f"holewright {software_version()}"}


def job_head(kind: str, job: Job) -> Document:
    """Return what every document about a job begins with."""
    return head(kind) | {
        "job": job.name,
        "part": job.part,
        "invented": job.invented,
        "callout": callout_data(job.callout),
    }


def callout_data(callout: Callout) -> Document:
    """Return what was understood of a callout."""
    return {
        "text": callout.text,
        "unit": str(callout.unit),
        "unit_reason": callout.unit_reason,
        "nominal_mm": callout.nominal,
        "lower_mm": callout.limits.lower,
        "upper_mm": callout.limits.upper,
        "fit": callout.fit,
        "kind": str(callout.kind),
        "depth_mm": callout.depth,
        "floor_mm": callout.floor,
        "standard": str(callout.standard),
        "envelope": callout.envelope,
        "ra_um": callout.ra,
        "notes": list(callout.notes),
    }


def limits_document(answer: HoleLimits) -> Document:
    """Return what follows from a callout alone as JSON data."""
    callout = callout_data(answer.callout)
    pins = answer.pins
    return (
        head("limits")
        | callout
        | {
            "reamer": {
                "lower_mm": answer.reamer.lower,
                "upper_mm": answer.reamer.upper,
                "reason": reason_data(answer.reamer_reason) if answer.reamer_reason else None,
            },
            "pins": {
                "go": _pin_data(pins.go, "plus", pins),
                "no_go": _pin_data(pins.no_go, "minus", pins),
                "reasons": [reason_data(reason) for reason in pins.reasons],
            },
            "warmth": {
                "part_c": answer.part_c,
                "part_c_stated": answer.part_c_stated,
                "growths": [
                    {
                        "material": growth.material,
                        "growth_mm": growth.growth,
                        "alpha_1_k": growth.alpha.value,
                        "tag": str(growth.alpha.tag),
                        "source": growth.alpha.source,
                    }
                    for growth in answer.growths
                ],
            },
        }
    )


def _pin_data(size: float, sense: str, pins: IdealPins) -> Document:
    return {
        "size_mm": size,
        "sense": sense,
        "grade": pins.grade or None,
        "tolerance_mm": pins.tolerance,
    }


def reason_data(reason: Reason) -> Document:
    """Return a reason with its value and limit."""
    return {
        "code": reason.code,
        "value": finite(reason.value),
        "limit": finite(reason.limit),
        "unit": reason.unit,
        "text": reason.text,
    }


def _known_data(name: str, known: Known) -> Document:
    return {
        "name": name,
        "value": finite(known.value),
        "u": finite(known.u),
        "tag": str(known.tag),
        "source": known.source,
    }


def _operation_data(operation: Operation) -> Document:
    return {
        "kind": str(operation.kind),
        "tool": operation.tool,
        "holder": operation.holder,
        "diameter_mm": operation.diameter,
        "v_c_m_min": operation.v_c,
        "n_1_min": operation.n,
        "f_mm_rev": operation.f,
        "v_f_mm_min": operation.v_f,
        "full_depth_mm": operation.full_depth,
        "tip_depth_mm": operation.tip_depth,
        "peck_mm": operation.peck,
        "dwell_s": operation.dwell_s,
        "feed_out": operation.feed_out,
        "time_s": operation.time_s,
        "by_hand": operation.by_hand,
        "text": operation.text,
        "numbers": [_known_data(name, known) for name, known in operation.numbers],
    }


def _route_data(route: Route) -> Document:
    return {
        "name": route.name,
        "cost_per_good_hole": finite(route.cost_per_good_hole),
        "cost_parts": [{"name": name, "cost": finite(cost)} for name, cost in route.cost_parts],
        "time_s": route.time_s,
        "outside": finite(route.outside),
        "text": route.text,
    }


def forecast_data(forecast: Forecast) -> Document:
    """Return a forecast with its terms, the largest spread first."""
    low, high = forecast.size.interval(0.95) if forecast.sd > 0 else (forecast.mean,) * 2
    return {
        "mean_mm": forecast.mean,
        "sd_mm": forecast.sd,
        "sd_between_holes_mm": forecast.size.sd_between_holes,
        "interval_95_mm": [low, high],
        "below": forecast.below,
        "above": forecast.above,
        "inside": forecast.inside,
        "sources": [
            {
                "name": term.name,
                "mean_mm": term.mean,
                "sd_mm": term.sd,
                "varies_mm": term.varies,
                "tag": str(term.tag),
                "source": term.source,
                "text": term.text,
            }
            for term in forecast.sources
        ],
    }


def plan_document(job: Job, plan: Plan) -> Document:
    """Return a plan as JSON data."""
    operations = plan.route.operations if plan.route else ()
    return job_head("plan", job) | {
        "verdict": str(plan.verdict),
        "sentence": plan.sentence,
        "route": _route_data(plan.route) if plan.route else None,
        "operations": [_operation_data(operation) for operation in operations],
        "forecast": forecast_data(plan.forecast) if plan.forecast else None,
        "hypotheses": hypotheses_data(plan.forecast, job.callout.nominal),
        "sensitivities": sensitivities_data(plan.forecast),
        "conditions": [reason_data(reason) for reason in plan.conditions],
        "alternatives": [
            _route_data(route) | {"operations": [_operation_data(o) for o in route.operations]}
            for route in plan.alternatives
        ],
        "refused": [reason_data(reason) for reason in plan.refused],
        "instead": list(plan.instead),
        "check_plan": list(plan.check_plan),
        "cautions": list(plan.cautions),
        "defaults": list(job.defaults),
        "evaluated": plan.evaluated,
        "possible": plan.possible,
    }


def program_document(job: Job, program: Program, path: str | None) -> Document:
    """Return a program as JSON data, with the file it was written to."""
    return job_head("program", job) | {
        "path": path,
        "unit": str(program.unit),
        "features": [
            {
                "callout": feature.callout_text,
                "route": feature.route.name,
                "holes": len(feature.positions),
            }
            for feature in program.features
        ],
        "time_by_operation": [
            {"operation": name, "seconds": seconds} for name, seconds in program.seconds
        ],
        "total_s": math.fsum(seconds for _, seconds in program.seconds),
        "stops": sum(time.stops for time in program.times),
        "way_mm": program.way,
        "holes_mm": [list(hole) for hole in program.holes],
        "cautions": list(program.cautions),
        "text": program.text,
    }


def sheet_document(job: Job, paths: Mapping[str, str]) -> Document:
    """Return which sheets were written where."""
    return job_head("sheet", job) | {"paths": dict(paths)}


def demo_document(
    done: Sequence[DemoJob], out: str, files: Mapping[str, Sequence[str]]
) -> Document:
    """Return what the demo found as JSON data."""
    return head("demo") | {
        "out": out,
        "invented": True,
        "jobs": [
            {
                "job": job.job.name,
                "plan": str(job.plan.verdict),
                "verdict": str(job.verdict.decision),
                "files": list(files[job.name]),
                "truth": {
                    "mean_mm": job.truth.mean,
                    "sd_mm": job.truth.sd,
                    "inside": job.truth.inside,
                },
                "found": {
                    "mean_mm": finite(job.estimate.mean),
                    "sd_mm": finite(job.estimate.sd),
                    "inside_lower": job.verdict.inside_lower,
                },
            }
            for job in done
        ],
    }


def book_document(
    action: str,
    where: str,
    *,
    path: Path | None = None,
    job: str = "",
    revision: int | None = None,
    counts: Mapping[str, int],
    problems: Sequence[str] = (),
    overdue: Sequence[str] = (),
    verdict: Verdict | None = None,
) -> Document:
    """Return what was done with the record book as JSON data."""
    return head("book") | {
        "action": action,
        "book": where,
        "path": str(path) if path else None,
        "job": job,
        "revision": revision,
        "counts": [{"name": name, "count": count} for name, count in counts.items()],
        "problems": list(problems),
        "overdue": list(overdue),
        "verdict": str(verdict.decision) if verdict else None,
        "sentence": verdict.sentence if verdict else None,
    }
