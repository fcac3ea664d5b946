"""The pages that people read most, letter by letter.

After a change that is meant: ``HOLEWRIGHT_GOLDEN=write pytest tests/unit/cli/test_cli_golden.py``,
then read what changed.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent / "golden"
BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"

PAGES = {
    "limits_8_h7.txt": ("limits", "8 H7 x 22 through", "--material", "16MnCr5", "-t", "31 C"),
    "limits_quarter_inch.txt": ("limits", ".2500 +.0005/-.0000", "--standard", "asme", "--plain"),
    "plan_a.txt": ("plan", BRAKELUND / "job_a.toml"),
    "plan_b.txt": ("plan", BRAKELUND / "job_b.toml"),
    "plan_d.txt": ("plan", BRAKELUND / "job_d.toml"),
}


@pytest.mark.parametrize("name", PAGES)
def test_the_page_reads_as_it_did(holewright, name):
    page = holewright(*PAGES[name], "--columns", 80).out
    file = GOLDEN / name
    if os.environ.get("HOLEWRIGHT_GOLDEN") == "write":
        file.parent.mkdir(exist_ok=True)
        file.write_text(page, encoding="utf-8", newline="\n")
    assert page == file.read_text(encoding="utf-8")
