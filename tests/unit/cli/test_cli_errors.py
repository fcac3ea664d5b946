"""Bad input of every command ends with 2, one message, and no traceback."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

BAD_JOBS = {
    "no file": None,
    "not TOML": "callout = = 8",
    "not text": b"\xff\xfe\x00\x01\x80",
    "unknown table": "[hol]\ncallout = '8 H7'\n",
    "no callout": "[hole]\ndepth = '22'\n[material]\nname = '4140'\n",
    "bad callout": "[hole]\ncallout = '8 h7'\n[material]\nname = '4140'\n",
    "no material": "[hole]\ncallout = '8 H7 x 22 through'\n",
    "bad material": "[hole]\ncallout = '8 H7 x 22 through'\n[material]\nname = 'cheese'\n",
    "missing shop": (
        "[hole]\ncallout = '8 H7 x 22'\n[material]\nname = '4140'\n[shop]\nfile = 'no.toml'\n"
    ),
}


@pytest.mark.parametrize("command", ["plan", "program", "sheet"])
@pytest.mark.parametrize("kind", BAD_JOBS)
def test_a_bad_job_file_is_refused_with_its_name(holewright, tmp_path, command, kind):
    file = tmp_path / "job.toml"
    text = BAD_JOBS[kind]
    if text is not None:
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
    arguments = ["--out", str(tmp_path / "out")] if command == "sheet" else []
    answer = holewright(command, file, *arguments)
    assert answer.code == 2
    assert answer.out == ""
    assert answer.err.startswith("holewright: ")
    assert "job.toml" in answer.err or "no.toml" in answer.err
    assert list(tmp_path.iterdir()) in ([], [file])


def test_with_json_the_error_is_a_document_too(holewright, tmp_path):
    file = tmp_path / "job.toml"
    file.write_text("[hole]\ncallout = '8 h7'\n[material]\nname = '4140'\n")
    document = holewright("plan", file, "--json").document
    assert document["document"] == "error"
    assert document["field"] == "callout"
    assert document["where"].endswith("job.toml, line 2")
    assert any("H7" in reading for reading in document["readings"])


def test_an_input_without_an_answer_ends_with_1_and_says_so_in_json(holewright, valve_bore):
    answer = holewright("program", valve_bore, "--json")
    assert answer.code == 1
    assert answer.document["document"] == "error"
    assert "field" not in answer.document


def test_a_reader_that_stops_early_is_no_error(job_a: Path):
    done = subprocess.run(
        f"{sys.executable} -c 'from holewright.cli.main import run; run()' plan {job_a} | head -1",
        shell=True,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    assert done.stdout.startswith("REAM")
    assert "Traceback" not in done.stderr
    assert "holewright:" not in done.stderr
