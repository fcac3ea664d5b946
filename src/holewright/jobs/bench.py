"""The Bench: what a use case takes from the world, made in one place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from importlib import metadata

from holewright.reference.tables import data_version


def software_version() -> str:
    """Return the version of the installed holewright, or ``not installed``."""
    try:
        return metadata.version("holewright")
    except metadata.PackageNotFoundError:
        return "not installed"


def _wall_clock() -> datetime:
    return datetime.now().astimezone()


@dataclass(frozen=True)
class Bench:
    """The clock and the versions that go on every sheet.

    Parameters
    ----------
    now : callable
        Returns the time; tests put a still clock here.
    version : str
        Version of holewright.
    data_version : str
        Version of the reference data.
    """

    now: Callable[[], datetime]
    version: str
    data_version: str


def open_bench() -> Bench:
    """Return the bench with the real clock."""
    return Bench(now=_wall_clock, version=software_version(), data_version=data_version())
