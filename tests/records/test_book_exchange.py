"""Readings and jobs out to plain files and back, nothing lost and nothing half."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from record_book_samples import NOON

from holewright.errors import BookError, InputError
from holewright.gauging.reading import Reading
from holewright.jobs.book_files import export_job, import_file
from holewright.jobs.import_readings import Mapped, import_readings, read_mapping
from holewright.jobs.keep_book import keep_job, keep_tool_room, latest_revision
from holewright.jobs.keep_readings import (
    correct_reading,
    holding_readings,
    judge_in_book,
    keep_readings,
    recheck,
)
from holewright.records.address import file_of
from holewright.records.entries import (
    KINDS,
    JobEntry,
    PlanEntry,
    ReadingEntry,
    RunEntry,
    VerdictEntry,
)
from holewright.records.exchange import parquet
from holewright.records.exchange.csv_out import guarded, readings_csv, unguarded
from holewright.records.exchange.rows import ReadingRow
from holewright.records.exchange.whole_job import job_data, take_job
from holewright.records.memory import MemoryBook
from holewright.records.sql import SqlBook

ADA = "Ada"


@pytest.fixture
def kept(sqlite_book: SqlBook, job_a, readings_a, bench) -> SqlBook:
    """Return a book with job A, 12 readings in two runs, one corrected, and a verdict."""
    revision = keep_job(sqlite_book, job_a, "[hole] # as typed\n", bench=bench, by=ADA)
    for run, part in (("day", readings_a[:8]), ("night", readings_a[8:12])):
        rows = [ReadingRow(reading, cut=i + 1) for i, reading in enumerate(part)]
        keep_readings(sqlite_book, revision, rows, run=run, bench=bench, by=ADA)
    first = sqlite_book.find(ReadingEntry)[0]
    right = replace(first.entry.reading, note="=HYPERLINK(1), with a comma")
    correct_reading(sqlite_book, first, right, why="note forgotten", bench=bench, by="Bo")
    judge_in_book(sqlite_book, job_a.name, bench=bench, by=ADA)
    return sqlite_book


def holding(book: SqlBook, name: str) -> list[Reading]:
    found = holding_readings(book, latest_revision(book, name))
    return [replace(saved.entry.reading, where=None) for saved in found]


@pytest.mark.parametrize("ending", [".csv", ".parquet"])
def test_readings_come_back_as_they_were(kept: SqlBook, job_a, bench, tmp_path: Path, ending):
    file = tmp_path / f"out{ending}"
    assert export_job(kept, job_a.name, file, bench=bench) == 12
    other = MemoryBook()
    keep_job(other, job_a, "[hole]", bench=bench, by=ADA)
    rows = import_readings(file, job_a.shop)
    assert [replace(row.reading, where=None) for row in rows] == holding(kept, job_a.name)
    runs = [row.run for row in rows]
    assert runs == ["day"] * 8 + ["night"] * 4
    assert [row.cut for row in rows] == [*range(1, 9), *range(1, 5)]
    assert {row.by for row in rows} == {"Ada", "Bo"}
    assert all(row.at is not None and row.at >= NOON for row in rows)


def test_one_run_can_be_taken_out_by_itself(kept: SqlBook, job_a, bench, tmp_path: Path):
    file = tmp_path / "night.csv"
    assert export_job(kept, job_a.name, file, run="night", bench=bench) == 4
    with pytest.raises(InputError, match="can't be taken out by itself"):
        export_job(kept, job_a.name, tmp_path / "night.json", run="night", bench=bench)


def test_the_job_file_comes_back_as_it_was_typed(kept: SqlBook, job_a, bench, tmp_path: Path):
    file = tmp_path / "job.toml"
    export_job(kept, job_a.name, file, bench=bench)
    assert file.read_text() == "[hole] # as typed\n"


@pytest.mark.parametrize("name", ["out.exe", "out", "no/such/out.csv", "a\0b.csv"])
def test_a_name_that_is_not_ours_to_write_is_refused(kept, job_a, bench, tmp_path, name):
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(InputError, match="file"):
        export_job(kept, job_a.name, tmp_path / name, bench=bench)
    assert sorted(tmp_path.rglob("*")) == before


def test_the_book_itself_is_never_written_over(kept, job_a, bench, tmp_path):
    own = file_of(kept.engine.url)
    link = tmp_path / "innocent.csv"
    link.symlink_to(own)
    with pytest.raises(InputError, match="is the record book itself"):
        export_job(kept, job_a.name, link, bench=bench, force=True)
    assert kept.find(JobEntry)


class TestSpreadsheet:
    """A spreadsheet must not run what somebody typed into a note."""

    @pytest.mark.parametrize(
        "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "'=1", "''=1", '=HYPERLINK("x")']
    )
    def test_no_cell_begins_like_a_formula(self, text: str):
        row = ReadingRow(Reading(text, "8.01", goes=True, note=text), run=text, by=text)
        header, cells = csv.reader(io.StringIO(readings_csv([row])))
        for name, cell in zip(header, cells, strict=True):
            assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), name

    @given(st.text())
    def test_the_apostrophe_is_taken_off_again(self, text: str):
        assert unguarded(guarded(text)) == text
        assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\r"))

    def test_a_negative_number_stays_a_number(self):
        cold = ReadingRow(Reading("A1", "BG", size=8.0, part_c=-5.0))
        assert ",-5.0," in readings_csv([cold])


class TestStrangersFile:
    """CSV with other columns and units; errors by row and column; nothing half-imported."""

    def file(self, tmp_path: Path, text: str) -> Path:
        path = tmp_path / "theirs.csv"
        path.write_text(text, encoding="utf-8")
        return path

    def test_columns_and_units_are_mapped(self, job_a, tmp_path):
        gauge = job_a.shop.bore_gauges[0].id
        path = self.file(
            tmp_path,
            "Bore;Instrument;Dia;Operator note;Temp;Colour\n"
            f"A1;{gauge};.31512;first;77;red\n"
            f"A2;{gauge};8.004 mm;;68;blue\n",
        )
        mapped = read_mapping(
            ["hole=Bore", "gauge=instrument", "size=Dia", "note=Operator-Note", "part_temp=Temp"],
            ["size=in", "part_temp=F"],
        )
        first, second = (row.reading for row in import_readings(path, job_a.shop, mapped=mapped))
        assert first.size == pytest.approx(0.31512 * 25.4, abs=1e-12)
        assert first.part_c == pytest.approx(25.0)
        assert first.note == "first"
        assert second.size == 8.004  # the cell's own unit wins
        assert second.part_c == pytest.approx(20.0)

    def test_every_row_that_is_wrong_is_named_by_row_and_column(self, job_a, tmp_path):
        path = self.file(
            tmp_path,
            "hole,gauge,result,at\n"
            "A1,8.00,goes,\n"
            "A2,99.9,goes,\n"
            "A3,8.00,perhaps,\n"
            "A4,8.00,goes,yesterday\n"
            "A5,8.00,goes,2025-03-31T14:00\n",
        )
        with pytest.raises(InputError) as caught:
            import_readings(path, job_a.shop)
        said = str(caught.value)
        assert "4 rows: can't be used, so nothing was imported" in said
        for place in (
            "line 3, column gauge: gauge = 99.9",
            "line 4, column result: result = perhaps",
            "line 5, column at: at = yesterday",
            "line 6, column at: at = 2025-03-31T14:00: must be a time with its zone",
        ):
            assert place in said

    def test_nothing_of_a_bad_file_is_kept(self, kept, job_a, bench, tmp_path):
        before = kept.find(ReadingEntry)
        path = self.file(tmp_path, "hole,gauge,result\nA1,8.00,goes\nA2,99.9,goes\n")
        with pytest.raises(InputError, match="nothing was imported"):
            import_file(kept, path, job=job_a.name, run="new", bench=bench, by=ADA)
        assert kept.find(ReadingEntry) == before
        assert kept.find(RunEntry, name="new") == ()

    @pytest.mark.parametrize(
        ("columns", "units", "said"),
        [
            (["size"], [], "must be written as size=THEIRS"),
            (["diameter=Dia"], [], "diameter: is not known"),
            ([], ["note=in"], "must be of one of: size, depth"),
        ],
    )
    def test_a_mapping_that_makes_no_sense_is_refused(self, columns, units, said):
        with pytest.raises(InputError, match=said):
            read_mapping(columns, units)

    def test_a_column_that_the_file_has_not_is_said(self, job_a, tmp_path):
        path = self.file(tmp_path, "hole,gauge,result\nA1,8.00,goes\n")
        with pytest.raises(InputError, match="Diameter: is not in the file"):
            import_readings(path, job_a.shop, mapped=Mapped({"Diameter": "size"}))

    def test_a_file_of_an_unknown_kind_is_refused(self, job_a, tmp_path):
        path = tmp_path / "readings.xlsx"
        path.write_bytes(b"PK")
        with pytest.raises(InputError, match=r"must end in \.csv"):
            import_readings(path, job_a.shop)


class TestParquet:
    """Parquet carries types, so a wrong one is refused."""

    def written(self, **columns: list[object]) -> bytes:
        pyarrow = pytest.importorskip("pyarrow")
        file = io.BytesIO()
        table = pyarrow.table(columns)
        pytest.importorskip("pyarrow.parquet").write_table(table, file)
        return file.getvalue()

    def test_only_what_is_needed_must_be_there(self):
        raw = self.written(hole=["A1"], gauge=["8.00"], goes=[True])
        (row,) = parquet.read_parquet(raw, "r.parquet")
        assert replace(row.reading, where=None) == Reading("A1", "8.00", goes=True)

    @pytest.mark.parametrize(
        ("columns", "said"),
        [
            ({"hole": ["A1"], "goes": [True]}, "gauge: must be there"),
            ({"hole": ["A1"], "gauge": ["x"], "colour": ["red"]}, "colour: is not known"),
            ({"hole": ["A1"], "gauge": ["x"], "size_mm": ["big"]}, "must have the types"),
            ({"hole": ["A1"], "gauge": ["x"]}, "either whether the pin goes or the size"),
            ({"hole": [None], "gauge": ["x"], "goes": [True]}, "types of a reading|must be there"),
        ],
    )
    def test_what_is_no_reading_is_refused(self, columns, said):
        with pytest.raises(InputError, match=said):
            parquet.read_parquet(self.written(**columns), "r.parquet")

    def test_what_is_no_parquet_is_refused(self):
        pytest.importorskip("pyarrow")
        with pytest.raises(InputError, match="must be a Parquet file"):
            parquet.read_parquet(b"hole,gauge", "r.parquet")

    def test_a_gauge_that_the_shop_has_not_is_named(self, job_a, tmp_path):
        path = tmp_path / "r.parquet"
        path.write_bytes(self.written(hole=["A1"], gauge=["99.9"], goes=[True]))
        with pytest.raises(InputError, match="must be the id of a pin in the tool room"):
            import_readings(path, job_a.shop)

    def test_without_pyarrow_it_says_what_to_install(self, monkeypatch):
        import sys

        monkeypatch.setitem(sys.modules, "pyarrow", None)
        with pytest.raises(BookError, match=r"install holewright\[parquet\]"):
            parquet.read_parquet(b"", "r.parquet")


class TestWholeJob:
    """Everything the book knows of a job, in one JSON file."""

    def test_it_goes_into_another_book_and_its_verdicts_come_out_the_same(
        self, kept, job_a, bench, tmp_path
    ):
        file = tmp_path / "job.json"
        count = export_job(kept, job_a.name, file, bench=bench)
        data = json.loads(file.read_text(), parse_constant=pytest.fail)
        assert len(data["entries"]) == count
        other = MemoryBook()
        keep_job(other, replace(job_a, name="Another"), "x", bench=bench, by=ADA)
        with other.together() as writer:
            counts = take_job(writer, data, "job.json")
        assert counts == {
            "jobs": 1,
            "revisions": 1,
            "runs": 2,
            "readings": 13,
            "estimates": 1,
            "verdicts": 1,
        }
        (verdict,) = other.find(VerdictEntry)
        (original,) = kept.find(VerdictEntry)
        assert verdict.entry.verdict == original.entry.verdict
        assert recheck(other, verdict).same
        with other.together() as writer:
            take_job(writer, data, "job.json")
        assert len(other.find(ReadingEntry)) == 13

    def test_the_tools_of_its_runs_go_with_it(self, kept, job_a, bench):
        shop = replace(job_a.shop, drills=job_a.shop.drills[:1], pins=())
        keep_tool_room(kept, shop, bench=bench, by=ADA)
        run = kept.find(RunEntry, name="day")[0]
        reamer = kept.find(KINDS["tools"], kind="reamer")[0]
        kept.change(run, replace(run.entry, reamer_id=reamer.id))
        data = job_data(kept, kept.find(JobEntry)[0])
        tools = [entry for entry in data["entries"] if entry["entry"] == "tools"]
        assert [tool["name"] for tool in tools] == [reamer.entry.name]

    def test_a_job_of_that_name_from_elsewhere_is_not_mixed_up_with_it(self, kept, job_a, bench):
        data = job_data(kept, kept.find(JobEntry)[0])
        other = MemoryBook()
        keep_job(other, job_a, "x", bench=bench, by=ADA)
        with pytest.raises(InputError, match=r"job\.json, entry 1: name = .* must be the only one"):
            take_job(other, data, "job.json")

    @pytest.mark.parametrize(
        ("change", "said"),
        [
            (lambda d: d.update(document="letter"), 'must be a "job of a record book"'),
            (lambda d: d.update(version=2), "version = 2: must be 1"),
            (lambda d: d.update(entries="none"), "entries = job.json: must be a list"),
            (lambda d: d["entries"].insert(0, "x"), "entry 1: entry = this entry: must be one of"),
            (lambda d: d["entries"][1].update(job_id="nobody"), "entry 2: job_id = nobody"),
            (lambda d: d["entries"][1].update(job_id=["a"]), "entry 2"),
            (lambda d: d["entries"][1].update(job_id={}), "entry 2: job_id = {}"),
            (lambda d: d["entries"][1].update(at="now"), "revisions.at = 'now': must be a date"),
            (lambda d: d["entries"][4].update(reading={}), "entry 5: readings.reading"),
            (lambda d: d["entries"][4].pop("by"), "readings.by = not given"),
            (lambda d: d["entries"][4].update(colour=1), "readings.colour = a field: is not known"),
        ],
    )
    def test_what_no_book_wrote_is_refused_with_its_entry(self, kept, change, said):
        data = json.loads(json.dumps(job_data(kept, kept.find(JobEntry)[0])))
        change(data)
        other = MemoryBook()
        with pytest.raises(InputError) as caught, other.together() as writer:
            take_job(writer, data, "job.json")
        assert said in str(caught.value)
        assert all(other.find(kind) == () for kind in KINDS.values())

    def test_a_plan_goes_with_it(self, kept, job_a):
        from holewright.jobs.plan_hole import plan

        revision = latest_revision(kept, job_a.name)
        planned = plan(job_a)
        kept.append(PlanEntry(revision_id=revision.id, plan=planned, at=NOON, by=ADA))
        data = json.loads(json.dumps(job_data(kept, kept.find(JobEntry)[0])))
        other = MemoryBook()
        take_job(other, data, "job.json")
        assert other.find(PlanEntry)[0].entry.plan == planned

    def test_a_file_that_is_no_json_is_refused(self, kept, bench, tmp_path):
        file = tmp_path / "job.json"
        for text in ("{", "[" * 100_000):
            file.write_text(text)
            with pytest.raises(InputError, match="must be JSON"):
                import_file(kept, file, bench=bench, by=ADA)
