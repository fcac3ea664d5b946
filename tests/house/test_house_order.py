"""The order of the house: file length, docstrings, sources, and what may not be written."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import subprocess
from pathlib import Path

import pytest

import holewright
from holewright.reference.tables import sources

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src").rglob("*.py"))
MODULES = sorted(m.name for m in pkgutil.walk_packages(holewright.__path__, "holewright."))
TRACKED = [
    ROOT / name
    for name in subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    if (ROOT / name).is_file()
]


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_file_is_short_enough_to_do_one_thing(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= 400


def test_no_junk_drawers() -> None:
    names = {path.stem for path in SOURCES} | {path.parent.name for path in SOURCES}
    assert not names & {"utils", "util", "helpers", "common", "misc"}


def public_functions() -> list[tuple[str, object]]:
    found = []
    for name in MODULES:
        module = importlib.import_module(name)
        for key, value in vars(module).items():
            if (
                inspect.isfunction(value)
                and value.__module__ == name
                and not key.startswith("_")
                and not name.startswith("holewright.cli")
            ):
                found.append((f"{name}.{key}", value))
    return found


@pytest.mark.parametrize(
    ("name", "function"), [pytest.param(*found, id=found[0]) for found in public_functions()]
)
def test_parameters_in_a_docstring_are_those_of_the_signature(name: str, function: object) -> None:
    doc = inspect.getdoc(function)
    assert doc, f"{name} has no docstring"
    section = re.search(r"^Parameters\n-+\n(.*?)(?=^\S[^\n]*\n-{3,}|\Z)", doc, re.M | re.S)
    if section is None:
        return
    listed = [
        part.strip().lstrip("*")
        for line in re.findall(r"^(\S[^:\n]*?)(?:\s*:.*)?$", section[1], re.M)
        for part in line.split(",")
    ]
    signature = [p for p in inspect.signature(function).parameters if p != "self"]  # type: ignore[arg-type]
    assert sorted(listed) == sorted(signature)


def test_every_table_row_names_a_known_source() -> None:
    import csv

    for path in (ROOT / "src/holewright/reference").glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                assert row["source"] in sources(), f"{path.name}: {row['source']}"


def test_every_source_is_used() -> None:
    text = "\n".join(p.read_text("utf-8") for p in SOURCES) + "\n".join(
        p.read_text("utf-8") for p in (ROOT / "src/holewright/reference").glob("*.csv")
    )
    assert [key for key in sources() if key not in text] == []


def test_every_source_says_its_kind_and_how_it_was_checked() -> None:
    for key, entry in sources().items():
        assert entry["title"], key
        assert entry["kind"] in {
            "standard",
            "handbook",
            "paper",
            "textbook",
            "practice",
            "memory",
            "own",
            "data",
        }, key
        assert entry["checked"] in {"read", "memory"}, key


def test_nothing_names_a_registry_host_or_a_path_of_one_machine() -> None:
    host = re.compile(
        r"https?://[a-z0-9.-]*(py" r"pi|python-?hosted|n" r"pmjs|deb" r"ian)", re.IGNORECASE
    )
    place = re.compile(r"(?<![\w.])/(wo" r"rk|ro" r"ot|ho" r"me)/")
    for path in TRACKED:
        if path.suffix in {".png", ".parquet"}:
            continue
        text = path.read_text("utf-8", errors="replace")
        assert not host.search(text), path
        assert not place.search(text), path


def test_pure_rooms_never_print() -> None:
    for path in SOURCES:
        if path.parent.name in {"cli", "jobs"}:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id not in {"print", "open", "input"}, path
