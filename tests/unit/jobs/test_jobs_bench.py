"""The bench: clock and versions come from one place, so that a sheet can be made again alike."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from holewright.jobs.bench import Bench, open_bench
from holewright.jobs.jobfile import read_job
from holewright.jobs.make_sheets import make_sheet, sheet_as_pdf
from holewright.jobs.readingsfile import read_readings
from holewright.reference.tables import data_version
from holewright.sheets.header import PageKind

BRAKELUND = Path(__file__).parents[3] / "examples" / "brakelund"
STILL = datetime(2026, 5, 19, 14, 30)


@pytest.fixture(scope="module")
def bench():
    return Bench(now=lambda: STILL, version="9.9", data_version="abcd1234")


def test_a_still_clock_gives_the_same_sheet_twice_with_its_date_and_versions(bench):
    job = read_job(BRAKELUND / "job_b.toml")
    readings = read_readings(BRAKELUND / "readings_b.csv", job.shop)
    for kind in (PageKind.SETUP, PageKind.PROOF):
        first = make_sheet(kind, job, bench, readings=readings, lot=600)
        assert first == make_sheet(kind, job, bench, readings=readings, lot=600)
        assert sheet_as_pdf(first, job, bench) == sheet_as_pdf(first, job, bench)
        assert "2026-05-19 14:30" in first
        assert "9.9" in first
        assert "abcd1234" in first


def test_the_real_bench_knows_the_time_zone_and_the_data():
    bench = open_bench()
    assert bench.now().tzinfo is not None
    assert bench.data_version == data_version()
    assert len(bench.data_version) == 8
