"""What saving costs: one reading at a time with a wait for the disk, and a file at once."""

from datetime import UTC, datetime

import pytest

from holewright.gauging.reading import Reading
from holewright.records.address import book_address
from holewright.records.backup import write_backup
from holewright.records.entries import JobEntry, ReadingEntry, RevisionEntry
from holewright.records.schema import create_book, open_book

NOW = datetime(2025, 3, 31, tzinfo=UTC)
SIGNED = {"at": NOW, "by": "Ada"}


@pytest.fixture
def book(tmp_path):
    url = book_address(str(tmp_path / "book.db"))
    create_book(url)
    opened = open_book(url)
    job = opened.append(JobEntry(name="plate", **SIGNED))
    opened.append(
        RevisionEntry(job_id=job.id, number=1, text="x", document={}, callout="8 H7", **SIGNED)
    )
    yield opened
    opened.close()


def reading(hole):
    return ReadingEntry(revision_id=1, reading=Reading(f"A{hole}", "8.01", goes=True), **SIGNED)


def fill(book, n):
    with book.together() as writer:
        for hole in range(n):
            writer.append(reading(hole))


def bench_one_reading_saved(benchmark, book):
    assert benchmark(lambda: book.append(reading(1))).id > 0


@pytest.mark.parametrize("n", [10, 1000])
def bench_readings_saved_together(benchmark, book, n):
    benchmark.pedantic(fill, args=(book, n), rounds=5)
    assert book.count(ReadingEntry) == 5 * n


@pytest.mark.parametrize("n", [100, 10_000])
def bench_readings_read(benchmark, book, n):
    fill(book, n)
    assert len(benchmark(book.find, ReadingEntry, revision_id=1)) == n


def bench_a_backup_of_ten_thousand_readings(benchmark, book, tmp_path):
    fill(book, 10_000)
    file = tmp_path / "book.backup"
    manifest = benchmark.pedantic(
        lambda: write_backup(book, file, at=NOW, software="bench", force=True), rounds=3
    )
    assert manifest.rows == 10_002
