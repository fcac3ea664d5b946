"""A runner for the command line, shared by its tests."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
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
