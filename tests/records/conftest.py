"""Books to try things on: in memory, in SQLite and on a PostgreSQL server of our own."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import count
from pathlib import Path

import pytest
from record_book_samples import NOON, Begun, begin
from sqlalchemy import URL, create_engine, text

from holewright.gauging.estimate import Estimate
from holewright.gauging.reading import Reading
from holewright.jobs.bench import Bench
from holewright.jobs.job import Job
from holewright.jobs.jobfile import read_job
from holewright.jobs.readingsfile import read_readings
from holewright.jobs.take_readings import estimate_size
from holewright.records.address import book_address
from holewright.records.book import RecordBook
from holewright.records.memory import MemoryBook
from holewright.records.schema import create_book, open_book
from holewright.records.sql import SqlBook
from holewright.records.tables import METADATA

BRAKELUND = Path(__file__).parents[2] / "examples" / "brakelund"


def _programs() -> Path | None:
    """Return the folder with initdb and pg_ctl: on the path, or where Debian keeps them."""
    found = shutil.which("pg_ctl")
    folders = [Path(found).parent] if found else []
    folders += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((f for f in folders if (f / "initdb").exists() and (f / "pg_ctl").exists()), None)


def _server_user() -> str | None:
    """Return who is to run the server: PostgreSQL refuses to run as root."""
    if os.geteuid() != 0:
        return None
    names = {entry.pw_name for entry in pwd.getpwall()}
    return next((name for name in ("postgres", "nobody") if name in names), "")


@pytest.fixture(scope="session")
def postgres() -> Iterator[URL]:
    """Start a throw-away server that listens on a socket in a folder of its own only."""
    programs, user = _programs(), _server_user()
    if programs is None:
        pytest.skip("no PostgreSQL here: initdb and pg_ctl were not found")
    if user == "":
        pytest.skip("PostgreSQL refuses to run as root, and there is no other user")
    folder = Path(tempfile.mkdtemp(prefix="hw-pg-"))
    if user:
        shutil.chown(folder, user)
    data = folder / "data"

    def call(*command: str | Path) -> None:
        done = subprocess.run(
            command, user=user, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )
        assert done.returncode == 0, done.stdout.decode()

    def control(*what: str) -> None:
        # The server keeps its output open, so it must not be a pipe that we wait for.
        subprocess.run(
            [programs / "pg_ctl", "-D", data, "-w", "-s", *what],
            user=user,
            cwd=folder,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=True,
        )

    try:
        call(
            programs / "initdb", "-D", data, "-U", "shop", "-A", "trust", "-E", "UTF8",
            "--no-locale", "--no-sync",
        )  # fmt: skip
        control("-o", f"-k {folder} -c listen_addresses='' -c fsync=off", "start")
        try:
            yield URL.create(
                "postgresql+psycopg", "shop", database="postgres", query={"host": str(folder)}
            )
        finally:
            control("-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder)


@pytest.fixture(scope="session")
def new_database(postgres: URL) -> Iterator[Callable[..., URL]]:
    """Make a database of its own for each test; with `book`, one that is a record book."""
    admin = create_engine(postgres, isolation_level="AUTOCOMMIT")
    numbers = count()

    def make(template: str = "template0") -> URL:
        name = f"book_{next(numbers)}"
        with admin.connect() as connection:
            connection.execute(text(f"CREATE DATABASE {name} TEMPLATE {template}"))
        return postgres.set(database=name)

    yield make
    admin.dispose()


@pytest.fixture(scope="session")
def postgres_template(new_database: Callable[..., URL]) -> str:
    url = new_database()
    assert create_book(url)
    return str(url.database)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("template") / "book.db"
    assert create_book(book_address(str(file)))
    return file


@pytest.fixture(params=["sqlite", "postgresql"])
def bare_url(request: pytest.FixtureRequest, tmp_path: Path) -> URL:
    """Return the address of a database in which there is nothing."""
    if request.param == "sqlite":
        return book_address(str(tmp_path / "bare.db"))
    url: URL = request.getfixturevalue("new_database")()
    return url


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> URL:
    """Return the address of an empty book."""
    if request.param == "sqlite":
        file = tmp_path / "book.db"
        shutil.copy(request.getfixturevalue("sqlite_template"), file)
        return book_address(str(file))
    template = request.getfixturevalue("postgres_template")
    made: URL = request.getfixturevalue("new_database")(template)
    return made


@pytest.fixture
def sql_book(url: URL) -> Iterator[SqlBook]:
    """Return an empty book in a database."""
    opened = open_book(url)
    yield opened
    opened.close()


@pytest.fixture
def sqlite_book(sqlite_template: Path, tmp_path: Path) -> Iterator[SqlBook]:
    """Return an empty book in SQLite, for what doesn't depend on the database."""
    file = tmp_path / "one.db"
    shutil.copy(sqlite_template, file)
    opened = open_book(book_address(str(file)))
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def shared_postgres(new_database: Callable[..., URL], postgres_template: str) -> Iterator[SqlBook]:
    """Return a book that many tests use one after the other: a database of its own takes long."""
    opened = open_book(new_database(postgres_template))
    yield opened
    opened.close()


def _empty(book: SqlBook) -> None:
    """Take everything out of a book, which its own guards would not let anybody do."""
    with book.engine.begin() as connection:
        connection.execute(text("SET LOCAL session_replication_role = replica"))
        names = ", ".join(METADATA.tables)
        connection.execute(text(f"TRUNCATE {names} RESTART IDENTITY CASCADE"))


@pytest.fixture(params=["memory", "sqlite", "postgresql"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[RecordBook]:
    """Return an empty book of each kind."""
    if request.param == "memory":
        yield MemoryBook()
        return
    if request.param == "sqlite":
        file = tmp_path / "book.db"
        shutil.copy(request.getfixturevalue("sqlite_template"), file)
        opened = open_book(book_address(str(file)))
        yield opened
        opened.close()
    else:
        opened = request.getfixturevalue("shared_postgres")
        yield opened
        _empty(opened)


@pytest.fixture
def bench() -> Bench:
    """Return a bench whose clock moves on by a second at each look."""
    ticks = count()
    return Bench(
        now=lambda: NOON + timedelta(seconds=next(ticks)), version="9.9", data_version="abc"
    )


@pytest.fixture(scope="session")
def job_a() -> Job:
    """Return job A of the invented Brakelund Works."""
    return read_job(BRAKELUND / "job_a.toml")


@pytest.fixture(scope="session")
def brakelund() -> Path:
    return BRAKELUND


@pytest.fixture
def begun(book: RecordBook) -> Begun:
    """Return a book of each kind with one job, its first revision and a run."""
    return begin(book)


@pytest.fixture(scope="session")
def readings_a(job_a: Job) -> tuple[Reading, ...]:
    """Return the invented readings of job A."""
    return read_readings(BRAKELUND / "readings_a.csv", job_a.shop)


@pytest.fixture(scope="session")
def an_estimate(job_a: Job, readings_a: tuple[Reading, ...]) -> Estimate:
    """Return an estimate with holes that no pin bounds from above."""
    return estimate_size(job_a, readings_a[:6])
