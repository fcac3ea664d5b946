"""A runner for the command line, shared by its tests."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from holewright.cli.main import app


@dataclass(frozen=True)
class Answer:
    """What a command answered."""

    code: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        return json.loads(self.out, parse_constant=_no_constant)


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} is not JSON")


@pytest.fixture
def holewright() -> Callable[..., Answer]:
    """Run a command as a person would, and return what it answered."""

    def run(*arguments: object) -> Answer:
        result = CliRunner().invoke(app, [str(argument) for argument in arguments])
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return Answer(result.exit_code, result.stdout, result.stderr)

    return run


BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"


@pytest.fixture(scope="session")
def job_a() -> Path:
    """Return job A: metric, through, an answer that is yes."""
    return BRAKELUND / "job_a.toml"


@pytest.fixture(scope="session")
def job_b() -> Path:
    """Return job B: inch, blind."""
    return BRAKELUND / "job_b.toml"


@pytest.fixture(scope="session")
def job_d() -> Path:
    """Return job D: the answer is not a reamer."""
    return BRAKELUND / "job_d.toml"


@pytest.fixture(scope="session")
def readings_a() -> Path:
    return BRAKELUND / "readings_a.csv"


@pytest.fixture(scope="session")
def readings_b() -> Path:
    return BRAKELUND / "readings_b.csv"


@pytest.fixture
def valve_bore(tmp_path: Path) -> Path:
    """Return a job that must be honed: no route with a drill and a reamer ends in it."""
    file = tmp_path / "valve.toml"
    file.write_text(
        '[hole]\ncallout = "12 H6 x 30 through"\ncylindricity = "0.003"\n'
        '[material]\nname = "42CrMo4"\nhardness = "45 HRC"\n'
    )
    return file
