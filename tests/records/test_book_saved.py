"""Save means saved: after a kill, between two tablets, and when a request is sent again."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from record_book_samples import begin, signed
from sqlalchemy import text

from holewright.errors import BookError, HolewrightError, InputError, StaleError
from holewright.gauging.reading import Reading
from holewright.records import engine as engine_module
from holewright.records.backup import damage
from holewright.records.engine import make_engine, writing
from holewright.records.entries import PlateEntry, ReadingEntry, RevisionEntry
from holewright.records.schema import open_book
from holewright.records.sql import SqlBook

HERE = Path(__file__).parent
SHOWN = 40


def test_a_kill_in_the_middle_loses_nothing_that_was_shown_as_saved(url):
    child = subprocess.Popen(
        [
            sys.executable,
            str(HERE / "keep_entering.py"),
            url.render_as_string(hide_password=False),
        ],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    shown = [child.stdout.readline().strip() for _ in range(SHOWN)]
    child.send_signal(signal.SIGKILL)
    rest, _ = child.communicate()
    shown += rest.split()
    assert child.returncode == -signal.SIGKILL
    assert all(shown[:SHOWN])

    opened = open_book(url)
    kept = [saved.entry.key for saved in opened.find(ReadingEntry)]
    # One more may have been saved and not yet shown; it is whole, too.
    assert kept[: len(shown)] == shown
    assert len(kept) <= len(shown) + 1
    assert damage(opened) == ()
    opened.close()


def test_a_save_waits_for_the_disk(sql_book: SqlBook):
    with sql_book.engine.connect() as connection:
        if sql_book.engine.dialect.name == "sqlite":
            pragmas = ("foreign_keys", "journal_mode", "synchronous")
            found = [connection.scalar(text(f"PRAGMA {pragma}")) for pragma in pragmas]
            assert found == [1, "wal", 2]  # 2 is FULL
        else:
            assert connection.scalar(text("SHOW synchronous_commit")) == "on"


def at_once(*calls: Callable[[], Any]) -> list[Any]:
    """Return what each call answers when all begin at the same moment; an error as itself."""
    start = threading.Barrier(len(calls))

    def run(call: Callable[[], Any]) -> Any:
        start.wait()
        try:
            return call()
        except HolewrightError as error:
            return error

    with ThreadPoolExecutor(len(calls)) as pool:
        return list(pool.map(run, calls))


def test_of_many_that_change_one_plate_at_once_one_is_saved_and_the_others_are_told(
    sql_book: SqlBook,
):
    begun = begin(sql_book)
    plate = sql_book.append(
        PlateEntry(revision_id=begun.revision.id, name="2", payload={}, **signed())
    )

    def change(hand: int) -> Callable[[], object]:
        return lambda: sql_book.change(plate, replace(plate.entry, payload={"by": hand}))

    answers = at_once(*(change(hand) for hand in range(8)))
    saved = [answer for answer in answers if not isinstance(answer, Exception)]
    assert len(saved) == 1
    assert sql_book.get(PlateEntry, plate.id) == saved[0]
    assert all(isinstance(a, StaleError) for a in answers if isinstance(a, Exception))


def test_of_many_new_revisions_at_once_one_gets_the_number(sql_book: SqlBook):
    begun = begin(sql_book)

    def revise(hand: int) -> Callable[[], object]:
        entry = replace(begun.revision.entry, number=2, key=f"hand-{hand}", text=f"hand {hand}")
        return lambda: sql_book.append(entry)

    answers = at_once(*(revise(hand) for hand in range(6)))
    assert sum(not isinstance(answer, Exception) for answer in answers) == 1
    assert all(isinstance(a, InputError) for a in answers if isinstance(a, Exception))
    assert [r.entry.number for r in sql_book.find(RevisionEntry)] == [1, 2]


def test_a_request_sent_many_times_at_once_is_written_once(sql_book: SqlBook):
    begun = begin(sql_book)
    entry = begun.reading("A1", key="tablet-7-0001")
    answers = at_once(*[lambda: sql_book.append(entry)] * 8)
    assert {answer.id for answer in answers} == {answers[0].id}
    assert len(sql_book.find(ReadingEntry)) == 1


def test_many_writers_lose_nothing(sql_book: SqlBook):
    begun = begin(sql_book)

    def enter(hand: int) -> Callable[[], object]:
        def run() -> None:
            for number in range(10):
                sql_book.append(begun.reading(f"{hand}-{number}"))

        return run

    assert at_once(*(enter(hand) for hand in range(5))) == [None] * 5
    assert len(sql_book.find(ReadingEntry)) == 50


def test_of_two_corrections_at_once_one_holds(sql_book: SqlBook):
    begun = begin(sql_book)
    wrong = sql_book.append(begun.reading())

    def correct(gauge: str) -> Callable[[], object]:
        entry = begun.reading(
            reading=Reading("A1", gauge, goes=True), corrects_id=wrong.id, why="mixed up"
        )
        return lambda: sql_book.append(entry)

    answers = at_once(*(correct(f"8.0{i}") for i in range(4)))
    assert sum(not isinstance(answer, Exception) for answer in answers) == 1
    assert len(sql_book.find(ReadingEntry, corrects_id=wrong.id)) == 1


def test_a_writer_that_waits_too_long_is_told_and_nothing_is_saved(url, monkeypatch):
    begin(book := open_book(url))
    monkeypatch.setattr(engine_module, "WAIT_S", 1)
    other = SqlBook(make_engine(url))
    with writing(book.engine) as connection:
        connection.execute(text("UPDATE jobs SET stage = 'on trial' WHERE id = 1"))
        job = other.find(RevisionEntry)[0]  # reading goes on meanwhile
        assert job.entry.number == 1
        said = "another program has been writing for 1 s"
        with pytest.raises(BookError, match=said), writing(other.engine) as second:
            second.execute(text("UPDATE jobs SET stage = 'released' WHERE id = 1"))
    book.close()
    other.close()
