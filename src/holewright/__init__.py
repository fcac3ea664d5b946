"""Carries one precision hole from the drawing to a proven, unattended process.

The steps, each a function that hands on one document:

>>> import holewright as hw
>>> callout = hw.read_callout("8 H7 x 22 through")
>>> callout.limits
Limits(lower=8.0, upper=8.015)

``read_job`` and ``read_readings`` read the files of a job; ``plan``, ``forecast``,
``write_program``, ``estimate_size`` and ``judge`` do what the commands of the same names do.
Names are loaded when they are first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from holewright.callout.callout import Callout as Callout
    from holewright.callout.callout import Limits as Limits
    from holewright.callout.notation import read_callout as read_callout
    from holewright.callout.notation import write_callout as write_callout
    from holewright.diagnosis.finding import Finding as Finding
    from holewright.errors import AmbiguousError as AmbiguousError
    from holewright.errors import HolewrightError as HolewrightError
    from holewright.errors import InputError as InputError
    from holewright.errors import NoAnswerError as NoAnswerError
    from holewright.errors import OutOfRangeError as OutOfRangeError
    from holewright.gauging.estimate import Estimate as Estimate
    from holewright.gauging.reading import Reading as Reading
    from holewright.jobs.fault_checks import read_checks as read_checks
    from holewright.jobs.find_fault import find_fault as find_fault
    from holewright.jobs.job import Job as Job
    from holewright.jobs.jobfile import read_job as read_job
    from holewright.jobs.plan_hole import forecast as forecast
    from holewright.jobs.plan_hole import plan as plan
    from holewright.jobs.readingsfile import read_readings as read_readings
    from holewright.jobs.release import judge as judge
    from holewright.jobs.take_readings import estimate_size as estimate_size
    from holewright.jobs.write_program import write_program as write_program
    from holewright.planning.plan import Plan as Plan
    from holewright.program.program import Program as Program
    from holewright.proof.verdict import Demands as Demands
    from holewright.proof.verdict import Verdict as Verdict
    from holewright.reasons import Reason as Reason
    from holewright.shop.shop import Shop as Shop
    from holewright.sizing.forecast import Forecast as Forecast
    from holewright.uncertainty import Known as Known
    from holewright.uncertainty import SizeDistribution as SizeDistribution
    from holewright.uncertainty import Tag as Tag
    from holewright.uncertainty import Term as Term
    from holewright.units import Unit as Unit

    __version__: str

_HOME = {
    "AmbiguousError": "errors",
    "Callout": "callout.callout",
    "Demands": "proof.verdict",
    "Estimate": "gauging.estimate",
    "Finding": "diagnosis.finding",
    "Forecast": "sizing.forecast",
    "HolewrightError": "errors",
    "InputError": "errors",
    "Job": "jobs.job",
    "Known": "uncertainty",
    "Limits": "callout.callout",
    "NoAnswerError": "errors",
    "OutOfRangeError": "errors",
    "Plan": "planning.plan",
    "Program": "program.program",
    "Reading": "gauging.reading",
    "Reason": "reasons",
    "Shop": "shop.shop",
    "SizeDistribution": "uncertainty",
    "Tag": "uncertainty",
    "Term": "uncertainty",
    "Unit": "units",
    "Verdict": "proof.verdict",
    "estimate_size": "jobs.take_readings",
    "find_fault": "jobs.find_fault",
    "forecast": "jobs.plan_hole",
    "judge": "jobs.release",
    "plan": "jobs.plan_hole",
    "read_callout": "callout.notation",
    "read_checks": "jobs.fault_checks",
    "read_job": "jobs.jobfile",
    "read_readings": "jobs.readingsfile",
    "write_callout": "callout.notation",
    "write_program": "jobs.write_program",
}
"""Public name -> the module it lives in."""

__all__ = ["__version__", *_HOME]


def __getattr__(name: str) -> Any:
    """Load a public name when it is first used (PEP 562)."""
    if name == "__version__":
        return import_module("holewright.jobs.bench").software_version()
    if name not in _HOME:
        raise AttributeError(f"module 'holewright' has no attribute {name!r}")
    value = getattr(import_module(f"holewright.{_HOME[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(__all__)
