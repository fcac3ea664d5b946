"""Help, version, and what must not be loaded for them."""

from __future__ import annotations

import subprocess
import sys

import pytest

import holewright as hw

COMMANDS = (
    "limits",
    "plan",
    "ask",
    "window",
    "form",
    "holes",
    "program",
    "backplot",
    "time",
    "pins",
    "gauge",
    "estimate",
    "verdict",
    "find",
    "study",
    "sheet",
    "demo",
)

LOADED = """
import sys
from holewright.cli.main import run
sys.argv = ["holewright", *{arguments!r}]
try:
    run()
except SystemExit as end:
    assert not end.code, end.code
heavy = {{"numpy", "scipy", "jinja2", "holewright.planning", "holewright.uncertainty"}}
print("LOADED", sorted(heavy & set(sys.modules)))
"""


@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["--version"],
        ["sampling", "lot", "--help"],
        *([command, "--help"] for command in COMMANDS),
    ],
)
def test_help_loads_no_heavy_library(arguments):
    done = subprocess.run(
        [sys.executable, "-c", LOADED.format(arguments=arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    assert done.stdout.splitlines()[-1] == "LOADED []"


def test_importing_the_package_loads_no_heavy_library():
    code = "import sys, holewright; print(sorted({'numpy', 'scipy', 'typer'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_help_names_every_command(holewright):
    page = holewright("--help").out
    for command in COMMANDS:
        assert f" {command} " in page


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(holewright, command):
    answer = holewright(command, "--help")
    assert answer.code == 0
    assert "--json" in answer.out


def test_the_version_is_that_of_the_package(holewright):
    assert holewright("--version").out.strip() == f"holewright {hw.__version__}"


def test_without_a_command_help_is_shown_and_a_wrong_one_is_refused(holewright):
    assert "Usage" in holewright().out + holewright().err
    wrong = holewright("plann")
    assert wrong.code == 2
    assert "plann" in wrong.err
