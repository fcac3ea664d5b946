"""What stands beside a forecast, as plain JSON data: rival hypotheses, and what would help most."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from holewright.sizing.forecast import Forecast


def hypotheses_data(forecast: Forecast | None, diameter: float) -> list[dict[str, Any]]:
    """Return both ways to expect hole less reamer; empty where no reamer is used."""
    from holewright.sizing.hypotheses import hypotheses

    both = hypotheses(forecast, diameter) if forecast is not None else None
    return [
        {
            "name": one.name,
            "offset_mm": one.offset,
            "sd_mm": one.sd,
            "low_mm": one.low,
            "high_mm": one.high,
            "inside": one.forecast.inside,
            "source": one.source,
        }
        for one in both or ()
    ]


def sensitivities_data(forecast: Forecast | None) -> list[dict[str, Any]]:
    """Return what would happen to the forecast if each term alone were known, best first."""
    from holewright.sizing.sensitivity import sensitivities

    if forecast is None or forecast.sd == 0:
        return []
    return [
        {
            "name": one.term,
            "share_of_variance": one.share_of_variance,
            "sd_without_mm": one.sd_without,
            "outside_without": one.outside_without,
            "text": one.text,
        }
        for one in sensitivities(forecast)
    ]
