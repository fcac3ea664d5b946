"""The reference pages are what the code says, and the JSON documents are what the pages say."""

from __future__ import annotations

import importlib.util
import json
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from typer.testing import CliRunner

from holewright.cli.main import app
from holewright.jobs.document_keys import DOCUMENTS

ROOT = Path(__file__).parents[2]
BRAKELUND = ROOT / "examples" / "brakelund"
JOB_A, JOB_B, JOB_D = (str(BRAKELUND / f"job_{name}.toml") for name in "abd")
READINGS = str(BRAKELUND / "readings_b.csv")
HOLES = str(BRAKELUND / "holes_a.csv")

ASKED = [
    ["limits", "8 H7 x 22 through", "--material", "6061-T6"],
    ["limits", "3 H4 x 8 blind"],
    ["plan", JOB_A],
    ["plan", JOB_B],
    ["plan", JOB_D],
    ["plan", JOB_A, "--why", "all"],
    ["window", JOB_A],
    ["form", JOB_A],
    ["form", JOB_B, "--spacing", "0 57 123 180 237 303", "--teeth", "0 3 6 4 1 -2 µm"],
    ["ask", JOB_A, "--tolerance"],
    ["ask", JOB_B, "--quantity"],
    ["program", JOB_B],
    ["backplot", JOB_B],
    ["time", JOB_B],
    ["holes", HOLES],
    ["estimate", JOB_B, "--readings", READINGS],
    ["verdict", JOB_B, "--readings", READINGS, "--lot", "600"],
    ["pins", JOB_B],
    ["verdict", JOB_B, "--readings", READINGS, "--with-forecast"],
    ["gauge", JOB_B, "--readings", "OUT/new.csv"],
    ["forecast", JOB_A, "--why"],
    ["plate", JOB_A, "--out", "OUT"],
    [
        "plate",
        JOB_A,
        "--holes",
        "6",
        "--vary",
        "feed=80,120",
        "--vary",
        "holder=hydraulic 12;collet 32",
    ],
    ["plate", JOB_A, "--results", str(BRAKELUND / "plate_a.csv")],
    ["life", JOB_A, "--readings", str(BRAKELUND / "life_a.csv")],
    ["sampling", "lot", "125", "6"],
    ["sampling", "curve", "80", "2"],
    ["find", JOB_B, "--seen", "oversize,drift", "--readings", READINGS, "--answers", "loupe=a"],
    ["sheet", JOB_B, "--readings", READINGS, "--out", "OUT"],
    ["demo", "--out", "OUT"],
    ["limits", "10 h7"],
    ["program", JOB_D],
]


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_reference", ROOT / "docs/make_reference.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("page", ["cli", "json"])
def test_the_page_is_what_the_code_says(maker, page):
    written = (ROOT / "docs" / "reference" / f"{page}.md").read_text(encoding="utf-8")
    made = getattr(maker, f"{page}_page")()
    assert written == made, "run: python docs/make_reference.py"


def paths(value: Any, known: dict[str, str], at: str = "") -> Iterator[tuple[str, Any]]:
    """Yield the path of every key, as the pages write it, with its value."""
    if isinstance(value, dict):
        for key, inner in value.items():
            here = f"{at}.{key}" if at else key
            if not isinstance(inner, list) or here in known:
                yield here, inner
            if not isinstance(inner, list) or here not in known:
                yield from paths(inner, known, here)
    elif isinstance(value, list):
        for inner in value:
            yield f"{at}[]", inner
            if isinstance(inner, dict):
                yield from paths(inner, known, f"{at}[]")


def fits(value: Any, kinds: str) -> bool:
    """Return whether a value is of one of the kinds that a page names."""
    types = {
        "string": str,
        "boolean": bool,
        "number": (int, float),
        "object": dict,
        "array": list,
        "null": type(None),
    }
    if isinstance(value, bool):
        return "boolean" in kinds
    return any(isinstance(value, types[kind]) for kind in kinds.split(" or "))


@pytest.mark.parametrize("arguments", ASKED, ids=[" ".join(a[:2])[-40:] for a in ASKED])
def test_every_key_of_a_document_is_described_with_its_type(arguments, tmp_path):
    asked = [argument.replace("OUT", str(tmp_path)) for argument in arguments]
    result = CliRunner().invoke(app, [*asked, "--json"])
    document = json.loads(result.stdout)
    known = {key.path: key.type for key in DOCUMENTS[document["document"]]}
    for path, value in paths(document, known):
        assert path in known, f"{path} is not in jobs/document_keys.py"
        assert fits(value, known[path]), f"{path} = {value!r} is not a {known[path]}"
    if document["document"] != "error":
        missing = {path.split(".")[0].removesuffix("[]") for path in known} - set(document)
        assert not missing
