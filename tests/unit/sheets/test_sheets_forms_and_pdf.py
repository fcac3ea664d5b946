"""The forms to fill in, and every sheet as PDF: what is on the screen is on the paper."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from holewright.jobs.bench import Bench
from holewright.jobs.jobfile import read_job
from holewright.jobs.make_sheets import OF_A_JOB, make_sheet, sheet_as_pdf
from holewright.jobs.readingsfile import read_readings
from holewright.sheets.forms import usual_sampling
from holewright.sheets.header import PageKind
from holewright.sheets.markup_tree import read_tree
from holewright.sheets.pdf import Paper

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
BENCH = Bench(now=lambda: datetime(2026, 5, 19, 14, 30), version="9.9", data_version="abcd")
JOB = read_job(BRAKELUND / "job_b.toml")
READINGS = read_readings(BRAKELUND / "readings_b.csv", JOB.shop)

ELEMENTS = {
    PageKind.TEST_CUT: (
        "same heat", "clamped as the part", "Measured before", "TIR at lead", "45°", "Photo",
        "another reamer", "Forecast of hole less reamer", "below the face",
    ),
    PageKind.GAUGING: (
        "GO goes?", "NO-GO goes?", "Cal. due", "Accept or reject", "nonconformance", "one "
        "temperature", "Inspector", "never hammer",
    ),
    PageKind.TRAVELLER: (
        "reamer measured", "TIR at lead", "program proven dry", "drilled depth checked",
        "five in a row", "Tool changes and stops", "First size after", "Proof record no.",
    ),
}  # fmt: skip


def sheet(kind: PageKind) -> str:
    return make_sheet(kind, JOB, BENCH, readings=READINGS, lot=600)


def words_of(pdf: bytes, tmp_path: Path) -> list[str]:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf)
    text = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, check=True)
    return re.findall(r"[\w.]+", text.stdout.decode())


@pytest.mark.parametrize("kind", ELEMENTS)
def test_a_form_has_its_elements_and_what_every_sheet_has(kind: PageKind) -> None:
    page = " ".join(read_tree(sheet(kind)).text().split())
    for element in ELEMENTS[kind]:
        assert element in page
    for always in ("BW-2210", "Revision", "ASME", "qualified people", "invented", "9.9", "abcd"):
        assert always.lower() in page.lower()


@pytest.mark.parametrize("kind", OF_A_JOB)
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs pdftotext of poppler-utils")
def test_what_the_screen_says_the_paper_says(kind: PageKind, tmp_path: Path) -> None:
    html = sheet(kind)
    paper = set(words_of(sheet_as_pdf(html, JOB, BENCH), tmp_path))
    body = read_tree(re.sub(r"<(style|svg).*?</\1>", " ", html, flags=re.S)).first("body")
    assert body is not None
    screen = re.findall(r"[\w.]+", body.text().replace("\u00ad", ""))
    missing = {w for w in screen if w not in paper and w.upper() not in paper}
    # A hyphen where a word was broken across lines is the only difference allowed.
    assert len(missing) <= 0.02 * len(set(screen)), missing


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="needs pdfinfo of poppler-utils")
def test_a_traveller_is_one_page_on_either_paper(paper: Paper, tmp_path: Path) -> None:
    file = tmp_path / "t.pdf"
    file.write_bytes(sheet_as_pdf(sheet(PageKind.TRAVELLER), JOB, BENCH, paper))
    told = subprocess.run(["pdfinfo", file], capture_output=True, check=True).stdout.decode()
    assert re.search(r"Pages:\s+1$", told, re.M)
    assert ("612 x 792" if paper is Paper.LETTER else "595") in told


@pytest.mark.parametrize("name", ['#panic("x")', "]#[", '\\"*_$`<b>', "a\nb // c", "= h"])
def test_nothing_in_a_name_becomes_markup(name: str) -> None:
    job = replace(JOB, name=name)
    html = make_sheet(PageKind.TRAVELLER, job, BENCH)
    assert sheet_as_pdf(html, job, BENCH).startswith(b"%PDF-")


def test_checks_get_rarer_as_holes_get_more() -> None:
    texts = [usual_sampling(n) for n in (3, 40, 400, 100_000)]
    assert texts[0] == ("Every hole, at every depth.",)
    assert len(set(texts)) == 4
