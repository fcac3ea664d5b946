"""``holewright sheet``."""

from __future__ import annotations

import re


def test_without_readings_only_the_setup_sheet_is_made(holewright, job_a, tmp_path):
    answer = holewright("sheet", job_a, "--out", tmp_path, "--json")
    assert answer.code == 0
    paths = answer.document["paths"]
    assert paths == {"setup": str(tmp_path / "job_a-setup.html")}
    assert [file.name for file in tmp_path.iterdir()] == ["job_a-setup.html"]


def test_with_readings_both_are_made_and_load_nothing(holewright, job_a, readings_a, tmp_path):
    answer = holewright("sheet", job_a, "-r", readings_a, "--lot", 1920, "-o", tmp_path / "new")
    assert answer.code == 0
    for kind in ("setup", "proof"):
        page = (tmp_path / "new" / f"job_a-{kind}.html").read_text(encoding="utf-8")
        assert "<svg" in page
        assert not re.search(r"""(src|href)\s*=\s*["']?(https?:)?//""", page)
        assert "nvented" in page
        assert kind.capitalize() in answer.out


def test_a_job_that_is_not_reamed_has_a_setup_sheet_too(holewright, job_d, tmp_path):
    assert holewright("sheet", job_d, "-o", tmp_path).code == 0
    assert (tmp_path / "job_d-setup.html").exists()


def test_sheets_are_not_overwritten_unless_told(holewright, job_a, tmp_path):
    assert holewright("sheet", job_a, "-o", tmp_path).code == 0
    again = holewright("sheet", job_a, "-o", tmp_path)
    assert again.code == 2
    assert "--force" in again.err
    assert holewright("sheet", job_a, "-o", tmp_path, "--force").code == 0


def test_each_kind_of_sheet_can_be_asked_for_as_pdf(holewright, job_b, tmp_path):
    kinds = ("setup", "test-cut", "gauging", "traveller")
    asked = [word for kind in kinds for word in ("--kind", kind)]
    answer = holewright("sheet", job_b, *asked, "--pdf", "--paper", "letter", "-o", tmp_path)
    assert answer.code == 0
    for kind in kinds:
        assert (tmp_path / f"job_b-{kind}.pdf").read_bytes().startswith(b"%PDF-")


def test_a_proof_report_without_readings_is_refused_with_what_it_needs(holewright, job_a, tmp_path):
    answer = holewright("sheet", job_a, "--kind", "proof", "-o", tmp_path)
    assert answer.code == 1
    assert "--readings" in answer.err
    assert list(tmp_path.iterdir()) == []
