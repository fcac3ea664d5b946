"""``holewright demo``."""

from __future__ import annotations

import json

import pytest

FILES = (
    "plan.txt",
    "plan.json",
    "program.ngc",
    "setup.html",
    "estimate.json",
    "verdict.json",
    "proof.html",
)


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    """Run the demo once, as JSON, and return the folder with the document."""
    from typer.testing import CliRunner

    from holewright.cli.main import app

    folder = tmp_path_factory.mktemp("demo") / "out"
    result = CliRunner().invoke(app, ["demo", "--out", str(folder), "--json"])
    assert result.exit_code == 0
    return folder, json.loads(result.stdout)


def test_every_document_of_both_jobs_is_written(run):
    folder, document = run
    names = sorted(file.name for file in folder.iterdir())
    assert names == sorted(f"{job}-{kind}" for job in "ab" for kind in FILES)
    assert all(file.stat().st_size > 500 for file in folder.iterdir())
    written = sorted(path for job in document["jobs"] for path in job["files"])
    assert written == sorted(str(folder / name) for name in names)


def test_what_is_written_is_what_the_document_says(run):
    folder, document = run
    for letter, job in zip("ab", document["jobs"], strict=True):
        verdict = json.loads((folder / f"{letter}-verdict.json").read_text(encoding="utf-8"))
        assert verdict["verdict"] == job["verdict"]
        assert (folder / f"{letter}-program.ngc").read_text(encoding="ascii").startswith("%")


def test_one_lot_is_released_and_one_is_held_and_the_bound_holds_of_the_truth(run):
    _, document = run
    assert [job["verdict"] for job in document["jobs"]] == ["release", "hold"]
    for job in document["jobs"]:
        assert job["found"]["inside_lower"] <= job["truth"]["inside"]


def test_the_page_puts_the_truth_beside_what_could_be_said(holewright, tmp_path):
    answer = holewright("demo", "--out", tmp_path, "--columns", "80")
    assert answer.code == 0
    assert "invented shop" in answer.out
    assert answer.out.count("What was true, beside what could be said") == 2
    assert max(len(line) for line in answer.out.splitlines()) <= 80
    again = holewright("demo", "--out", tmp_path)
    assert again.code == 2
    assert "--force" in again.err
