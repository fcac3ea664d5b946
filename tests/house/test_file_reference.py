"""``docs/reference/files.md`` names every key of every file, and what it shows can be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from holewright.jobs import (
    gauge_rows,
    machine_rows,
    program_rows,
    readingsfile,
    shopfile,
    tool_rows,
)
from holewright.jobs.cost_fields import COST_KEYS
from holewright.jobs.hole_fields import HOLE_KEYS
from holewright.jobs.jobfile import JOB_KEYS, SHOP_KEYS, TABLES, read_job
from holewright.jobs.patterns import PATTERN_KEYS
from holewright.jobs.plan_hole import plan
from holewright.jobs.shopfile import read_shop
from holewright.shop.drill import DrillKind
from holewright.shop.holder import HolderKind
from holewright.shop.reamer import ReamerKind

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "reference" / "files.md").read_text("utf-8")
CODE = " ".join(re.findall(r"`([^`\n]+)`", PAGE))
KEYS = {
    "job": JOB_KEYS,
    "hole": HOLE_KEYS,
    "pattern": PATTERN_KEYS,
    "shop": SHOP_KEYS,
    "costs": COST_KEYS,
    "demands": ("inside", "confidence", "ppk"),
    "gauging": ("clearance", "feel", "form"),
    "program": program_rows.PROGRAM_KEYS,
    "fixture": (*program_rows.FIXTURE_KEYS, *program_rows.KEEP_OUT_KEYS),
    "shop file": shopfile.SHOP_KEYS,
    "machine": machine_rows.MACHINE_KEYS,
    "holder": machine_rows.HOLDER_KEYS,
    "drill": (*tool_rows.DRILL_KEYS, *tool_rows.DRILL_SET_KEYS),
    "reamer": tool_rows.REAMER_KEYS,
    "pin": (*gauge_rows.PIN_KEYS, *gauge_rows.PIN_SET_KEYS),
    "bore gauge": gauge_rows.BORE_GAUGE_KEYS,
    "readings": readingsfile.COLUMNS,
    "kinds": (*HolderKind, *DrillKind, *ReamerKind),
}


@pytest.mark.parametrize("what", KEYS)
def test_every_key_is_named(what):
    missing = [key for key in KEYS[what] if not re.search(rf"(?<!\w){re.escape(key)}(?!\w)", CODE)]
    assert missing == []


def test_every_table_of_a_job_file_is_named():
    assert [name for name in TABLES if f"[{name}]" not in PAGE] == []


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", PAGE, flags=re.S)


def test_the_least_job_file_can_be_planned(tmp_path):
    (tmp_path / "job.toml").write_text(blocks("toml")[0], "utf-8")
    assert plan(read_job(tmp_path / "job.toml")).sentence


def test_the_shop_file_and_the_readings_can_be_read(tmp_path):
    shop_text = blocks("toml")[1]
    (tmp_path / "shop.toml").write_text(shop_text, "utf-8")
    (tmp_path / "reamers.csv").write_text("label,kind,measured\n.2500,HSS,.25015\n", "utf-8")
    shop = read_shop(tmp_path / "shop.toml")
    assert len(shop.pins) == 190
    assert shop.machines[0].id == "knee mill"
    rows = blocks("csv")[0].splitlines()
    assert all(column in readingsfile.COLUMNS for column in rows[0].split(","))


@pytest.mark.parametrize("page", [*sorted(DOCS.rglob("*.md")), DOCS.parent / "README.md"])
def test_every_link_leads_somewhere(page):
    links = re.findall(r"\]\(([^)#:]+)\)", page.read_text("utf-8"))
    assert [link for link in links if not (page.parent / link).exists()] == []
