"""Backups: of one moment, checked when written, checked when restored."""

from __future__ import annotations

import json
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from record_book_samples import NOON, begin, signed
from sqlalchemy import URL, text

from holewright.errors import BookError, InputError
from holewright.records.address import book_address, file_of
from holewright.records.backup import check_backup, damage, restore_backup, write_backup
from holewright.records.entries import KINDS, EstimateEntry, JobEntry, ReadingEntry, Stage
from holewright.records.schema import open_book
from holewright.records.sql import SqlBook
from holewright.records.tool_entries import MeasurementEntry, Quantity, ToolEntry, ToolKind


def fill(book: SqlBook, estimate) -> None:
    """Write something of many kinds, with corrections and changes."""
    begun = begin(book)
    first = book.append(begun.reading("A1"))
    book.append(begun.reading("A2 µ Ø 孔", reading=replace(begun.reading().reading, note="=1+1")))
    book.append(begun.reading("A1", corrects_id=first.id, why="mixed up", reading=None))
    book.change(begun.job, replace(begun.job.entry, stage=Stage.ON_TRIAL))
    tool = book.append(ToolEntry(kind=ToolKind.PIN, name="8.01", document={}, **signed()))
    book.append(
        MeasurementEntry(
            tool_id=tool.id,
            quantity=Quantity.SIZE,
            value=8.0101,
            u=0.0003,
            due=NOON.date(),
            **signed(),
        )
    )
    book.append(
        EstimateEntry(
            revision_id=begun.revision.id,
            reading_ids=(first.id + 1,),
            estimate=estimate,
            **signed(),
        )
    )


def everything(book: SqlBook) -> dict[str, tuple[object, ...]]:
    return {name: book.find(kind) for name, kind in KINDS.items()}


def back_up(book: SqlBook, path: Path, *, force: bool = False):
    return write_backup(book, path, at=NOON, software="holewright 9.9", force=force)


@pytest.fixture
def other_url(request: pytest.FixtureRequest, url: URL, tmp_path: Path) -> URL:
    """Return the address of a second empty book, in the other kind of database."""
    if file_of(url) is None:
        file = tmp_path / "other.db"
        file.write_bytes(request.getfixturevalue("sqlite_template").read_bytes())
        return book_address(str(file))
    template = request.getfixturevalue("postgres_template")
    return request.getfixturevalue("new_database")(template)


@pytest.fixture
def sqlite_backup(sqlite_book: SqlBook, tmp_path: Path, an_estimate) -> Path:
    fill(sqlite_book, an_estimate)
    back_up(sqlite_book, tmp_path / "book.backup")
    return tmp_path / "book.backup"


def test_a_book_moves_to_the_other_kind_of_database_and_nothing_changes(
    url, other_url, tmp_path, an_estimate
):
    book, other = open_book(url), open_book(other_url)
    fill(book, an_estimate)
    manifest = back_up(book, tmp_path / "book.backup")
    assert restore_backup(tmp_path / "book.backup", other) == manifest
    assert everything(other) == everything(book)
    assert damage(other) == ()
    # The other book counts on from where the first one was.
    begun = begin(other, "Sensor body")
    assert other.append(begun.reading("B1")).id == 4
    book.close()
    other.close()


def test_a_backup_is_of_one_moment(sqlite_book: SqlBook, tmp_path: Path, monkeypatch):
    begun = begin(sqlite_book)
    sqlite_book.append(begun.reading("A1"))
    from holewright.records import backup

    write_table = backup._write_table

    def write_while_others_enter(archive, connection, table):
        if table.name == "revisions":
            other = SqlBook(sqlite_book.engine)
            other.append(begun.reading("A2"))
        return write_table(archive, connection, table)

    monkeypatch.setattr(backup, "_write_table", write_while_others_enter)
    manifest = back_up(sqlite_book, tmp_path / "book.backup")
    assert dict(manifest.tables)["readings"].rows == 1
    assert len(sqlite_book.find(ReadingEntry)) == 2


def test_a_backup_is_not_written_over_anything_unasked(sqlite_book: SqlBook, tmp_path: Path):
    file = tmp_path / "book.backup"
    file.write_text("something of mine")
    with pytest.raises(InputError, match="is there already"):
        back_up(sqlite_book, file)
    assert file.read_text() == "something of mine"
    back_up(sqlite_book, file, force=True)
    check_backup(file)


def test_a_backup_is_never_written_over_the_book(sqlite_book: SqlBook, tmp_path: Path):
    begin(sqlite_book)
    own = file_of(sqlite_book.engine.url)
    for name in (own, own.with_name(own.name + "-wal"), own.parent / "x" / ".." / own.name):
        with pytest.raises(InputError, match="is the record book itself"):
            back_up(sqlite_book, name, force=True)
    assert len(sqlite_book.find(JobEntry)) == 1


@pytest.mark.parametrize("name", ["no/such/folder/b.zip", "", "a\0b"])
def test_a_name_that_is_no_file_is_refused(sqlite_book: SqlBook, tmp_path: Path, name: str):
    with pytest.raises(InputError, match="file"):
        back_up(sqlite_book, tmp_path / name, force=True)
    assert not list(tmp_path.glob("*.part"))


def test_a_failed_backup_leaves_no_file(sqlite_book: SqlBook, tmp_path: Path, monkeypatch):
    from holewright.records import backup

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup, "_write_table", full)
    with pytest.raises(OSError, match="No space left"):
        back_up(sqlite_book, tmp_path / "book.backup")
    assert {path.suffix for path in tmp_path.iterdir()} <= {".db", ".db-wal", ".db-shm"}


def test_only_an_empty_book_is_filled(sqlite_backup: Path, sqlite_book: SqlBook):
    before = everything(sqlite_book)
    with pytest.raises(BookError, match="only restored into an empty book"):
        restore_backup(sqlite_backup, sqlite_book)
    assert everything(sqlite_book) == before


def rewritten(source: Path, target: Path, changes: dict[str, bytes | None]) -> Path:
    """Write an archive with some of its members changed, taken out or added."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for info in old.infolist():
            raw = changes.pop(info.filename, old.read(info))
            if raw is not None:
                new.writestr(info.filename, raw)
        for name, raw in changes.items():
            if raw is not None:
                new.writestr(name, raw)
    return target


def member(path: Path, name: str) -> bytes:
    with zipfile.ZipFile(path) as archive:
        return archive.read(name)


def test_a_changed_digit_is_found(sqlite_backup: Path, tmp_path: Path):
    readings = member(sqlite_backup, "readings.jsonl")
    bad = readings.replace(b'"8.01"', b'"8.02"', 1)
    assert bad != readings
    file = rewritten(sqlite_backup, tmp_path / "bad", {"readings.jsonl": bad})
    with pytest.raises(BookError, match="readings is not as it was written"):
        check_backup(file)


@pytest.mark.parametrize(
    "changes",
    [
        {"readings.jsonl": None},
        {"../../evil.txt": b"x"},
        {"/etc/evil.txt": b"x"},
        {"evil.db": b"x"},
        {"manifest.json": b"{}"},
        {"manifest.json": b"[" * 100_001},
        {"manifest.json": b"not json"},
    ],
    ids=["a table missing", "up the tree", "whole path", "more", "empty", "huge", "no JSON"],
)
def test_an_archive_that_holds_anything_else_is_refused(
    sqlite_backup: Path, tmp_path: Path, changes, empty_book
):
    file = rewritten(sqlite_backup, tmp_path / "bad", changes)
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(BookError, match="not a backup of a record book"):
        restore_backup(file, empty_book)
    assert sorted(tmp_path.rglob("*")) == before
    assert empty_book.find(JobEntry) == ()


@pytest.fixture
def empty_book(sqlite_template: Path, tmp_path: Path):
    file = tmp_path / "empty.db"
    file.write_bytes(sqlite_template.read_bytes())
    opened = open_book(book_address(str(file)))
    opened.find(JobEntry)
    yield opened
    opened.close()


def test_half_a_file_or_another_file_is_no_backup(sqlite_backup: Path, tmp_path: Path):
    half = tmp_path / "half"
    half.write_bytes(sqlite_backup.read_bytes()[:-200])
    letter = tmp_path / "letter"
    letter.write_text("Dear Ada")
    for file in (half, letter):
        with pytest.raises(BookError, match="is not a backup"):
            check_backup(file)


def with_manifest_sums(source: Path, target: Path, name: str, lines: bytes) -> Path:
    """Write an archive with other rows and the sums that belong to them."""
    import hashlib

    manifest = json.loads(member(source, "manifest.json"))
    for entry in manifest["tables"]:
        if entry[0] == name:
            entry[1] = {
                "rows": lines.count(b"\n"),
                "sha256": hashlib.sha256(lines).hexdigest(),
            }
    return rewritten(
        source, target, {f"{name}.jsonl": lines, "manifest.json": json.dumps(manifest).encode()}
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda raw: raw.replace(b'"revision_id":1', b'"revision_id":7'), "can't stand in a book"),
        (lambda raw: b"[]\n", "isn't a row of a record book"),
        (lambda raw: b'{"id":1}\n', "isn't a row of a record book"),
        (lambda raw: b"no json\n", "isn't a row of a record book"),
        (lambda raw: raw.replace(b'"at":"2025', b'"at":"soon'), "isn't a row of a record book"),
        (lambda raw: raw.replace(b'{"at"', b'{ "at"'), "did not come back as it was"),
    ],
    ids=["reference", "no row", "columns", "no json", "time", "spelling"],
)
def test_rows_that_no_book_wrote_are_not_restored(
    sqlite_backup: Path, tmp_path: Path, empty_book, change, said
):
    lines = change(member(sqlite_backup, "readings.jsonl"))
    file = with_manifest_sums(sqlite_backup, tmp_path / "bad", "readings", lines)
    with pytest.raises(BookError, match=said):
        restore_backup(file, empty_book)
    assert empty_book.find(JobEntry) == ()


def test_a_backup_of_other_tables_says_which_program_wrote_it(sqlite_backup: Path, tmp_path: Path):
    manifest = json.loads(member(sqlite_backup, "manifest.json"))
    manifest["tables_version"] = "0042"
    raw = json.dumps(manifest).encode()
    file = rewritten(sqlite_backup, tmp_path / "other", {"manifest.json": raw})
    with pytest.raises(BookError, match=r"written by holewright 9\.9 .* tables 0042"):
        check_backup(file)


def test_damage_is_found(sqlite_book: SqlBook):
    begun = begin(sqlite_book)
    sqlite_book.append(begun.reading())
    assert damage(sqlite_book) == ()
    with sqlite_book.engine.connect() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA foreign_keys = OFF")
        connection.exec_driver_sql("BEGIN")
        connection.execute(text("DELETE FROM runs"))
        connection.commit()
    assert damage(sqlite_book) == ("readings, row 1: refers to an entry in runs that isn't there",)
