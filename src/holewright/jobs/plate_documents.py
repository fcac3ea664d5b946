"""Test plates as plain JSON data; what the keys mean stands in ``plate_keys.py``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from holewright.jobs.documents import Document, finite, job_head, reason_data

if TYPE_CHECKING:
    from holewright.jobs.job import Job
    from holewright.jobs.plate_steps import CutPlate
    from holewright.plate.effect import PlateEffect
    from holewright.plate.factors import Factor, Setting
    from holewright.plate.plate import PlateResult


def plate_document(cut: CutPlate, paths: Mapping[str, str | None]) -> Document:
    """Return a test plate as JSON data, with the files it was written to.

    Parameters
    ----------
    cut : CutPlate
        The plate.
    paths : mapping
        Sort of file -> where it is, or None.
    """
    plate, need = cut.plate, cut.plate.need
    return job_head("plate", cut.job) | {
        "factors": [_factor(factor) for factor in plate.factors],
        "rows": [
            {"row": plate.row_words(i, cut.job.unit), "levels": _levels(plate.factors, setting)}
            for i, setting in enumerate(plate.settings)
        ],
        "holes_a_row": plate.a_row,
        "order": str(plate.layout.order),
        "seed": plate.layout.seed,
        "pitch_mm": plate.layout.pitch,
        "need": None
        if need is None
        else {
            "difference_mm": need.difference,
            "power": need.power,
            "alpha": need.alpha,
            "holes_a_row": need.a_row,
            "at_pin": need.at_pin,
            "between_pins": need.between,
            "measured": need.by_size,
        },
        "orders": [reason_data(reason) for reason in plate.orders],
        "noted": [reason_data(reason) for reason in plate.noted],
        "holes": [
            {
                "hole": hole.name,
                "cut": hole.cut,
                "x_mm": hole.x,
                "y_mm": hole.y,
                "levels": _levels(plate.factors, plate.setting_of(hole)),
            }
            for hole in plate.holes
        ],
        "cautions": list(plate.cautions),
        "paths": dict(paths),
    }


def plate_result_document(job: Job, result: PlateResult, path: str | None = None) -> Document:
    """Return what a test plate showed as JSON data.

    Parameters
    ----------
    job : Job
        The job.
    result : PlateResult
        What it showed.
    path : str, optional
        Where the picture of the main effects was written.
    """
    best = result.recommended
    return job_head("plate-result", job) | {
        "sentence": result.sentence,
        "recommended": None if best is None else _levels(result.factors, result.rows[best].setting),
        "holes": result.holes,
        "factors": [_factor(factor) for factor in result.factors],
        "effects": [_effect(effect) for effect in (*result.size, *result.chips, *result.finish)],
        "drift": _effect(result.drift),
        "means": [
            {
                "factor": mean.factor,
                "level": mean.level,
                "place": mean.place,
                "mean_mm": mean.mean,
                "lower_mm": finite(mean.lower),
                "upper_mm": finite(mean.upper),
                "holes": mean.holes,
            }
            for mean in result.means
        ],
        "rows": [
            {
                "row": row.words,
                "levels": _levels(result.factors, row.setting),
                "holes": row.holes,
                "mean_mm": row.mean,
                "lower_mm": finite(row.lower),
                "upper_mm": finite(row.upper),
                "inside": row.inside,
                "good_chips": row.good_chips,
                "ra_um": row.ra,
                "ra_within": row.ra_within,
                "speed": row.speed,
            }
            for row in result.rows
        ],
        "scatter_mm": result.scatter,
        "scatter_se_mm": result.scatter_se,
        "because": [reason_data(reason) for reason in result.because],
        "not_shown": list(result.not_shown),
        "noted": [reason_data(reason) for reason in result.noted],
        "cautions": list(result.cautions),
        "path": path,
    }


def _factor(factor: Factor) -> Document:
    return {"factor": str(factor.kind), "levels": list(factor.levels)}


def _levels(factors: tuple[Factor, ...], setting: Setting) -> list[Document]:
    return [
        {"factor": str(factor.kind), "level": level}
        for factor, level in zip(factors, setting, strict=True)
    ]


def _effect(effect: PlateEffect) -> Document:
    return {
        "quantity": effect.quantity,
        "name": effect.name,
        "step": effect.step,
        "value": effect.value,
        "lower": finite(effect.lower),
        "upper": finite(effect.upper),
        "confidence": effect.confidence,
        "shown": effect.shown,
        "sentence": effect.sentence,
    }
