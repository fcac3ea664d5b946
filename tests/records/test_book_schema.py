"""Tables, migrations, and what the database itself holds to."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from record_book_samples import begin
from sqlalchemy import CheckConstraint, create_engine, inspect, text
from sqlalchemy.exc import DBAPIError, IntegrityError

from holewright.errors import BookError
from holewright.records import schema
from holewright.records.address import book_address, file_of
from holewright.records.engine import make_engine, reading, writing
from holewright.records.entries import KINDS, JobEntry
from holewright.records.schema import (
    HEAD,
    VERSION_TABLE,
    alembic_config,
    create_book,
    migrate_book,
    open_book,
    version_of,
)
from holewright.records.sql import SqlBook
from holewright.records.tables import METADATA, WRITTEN_ONCE


def test_the_migrations_make_the_tables_of_the_program(sql_book: SqlBook):
    with reading(sql_book.engine) as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "version_table": VERSION_TABLE}
        )
        assert compare_metadata(context, METADATA) == []


def test_the_migrations_make_every_constraint_by_its_name(sql_book: SqlBook):
    found = inspect(sql_book.engine)
    for table in METADATA.tables.values():
        wanted = {c.name for c in table.constraints if isinstance(c, CheckConstraint)}
        assert {c["name"] for c in found.get_check_constraints(table.name)} == wanted
        named = [
            *found.get_foreign_keys(table.name),
            *found.get_unique_constraints(table.name),
            found.get_pk_constraint(table.name),
            *found.get_indexes(table.name),
        ]
        for constraint in named:
            assert re.match(f"(fk|uq|pk|ix)_{table.name}", str(constraint["name"]))


def test_the_program_knows_the_last_migration():
    assert ScriptDirectory.from_config(alembic_config()).get_current_head() == HEAD


def test_every_kind_of_entry_has_its_table_and_refers_to_kinds_before_it():
    assert set(METADATA.tables) == {*KINDS, "estimate_readings"}
    seen: set[str] = set()
    for name, kind in KINDS.items():
        seen.add(name)
        assert set(kind.REFERS.values()) <= seen
        keys = {f.parent.name: f.column.table.name for f in METADATA.tables[name].foreign_keys}
        assert keys == dict(kind.REFERS)
        assert ("version" in METADATA.tables[name].columns) is kind.CHANGES


def test_what_is_written_once_is_guarded_by_the_database_itself(sql_book: SqlBook):
    begun = begin(sql_book)
    sql_book.append(begun.reading())
    once = {table.name for table in WRITTEN_ONCE}
    assert once == {name for name, kind in KINDS.items() if not kind.CHANGES} | {
        "estimate_readings"
    }
    statements = ["UPDATE readings SET hole = 'B9'", "DELETE FROM readings"]
    for statement in statements:
        with (
            pytest.raises(DBAPIError, match="rows of readings are written once and stay"),
            sql_book.engine.begin() as connection,
        ):
            connection.execute(text(statement))
    with sql_book.engine.connect() as connection:
        assert connection.scalar(text("SELECT hole FROM readings")) == "A1"


def test_every_table_that_is_written_once_has_its_guard(sql_book: SqlBook):
    query = (
        "SELECT DISTINCT tbl_name FROM sqlite_master WHERE type = 'trigger'"
        if sql_book.engine.dialect.name == "sqlite"
        else "SELECT DISTINCT event_object_table FROM information_schema.triggers"
    )
    with sql_book.engine.connect() as connection:
        assert set(connection.scalars(text(query))) == {table.name for table in WRITTEN_ONCE}


@pytest.mark.parametrize(
    ("values", "broken"),
    [
        ("99, 'A1', '8.01', TRUE, NULL, NULL, ''", "foreign|FOREIGN"),
        ("1, 'A1', '8.01', NULL, NULL, NULL, ''", "says_one_thing"),
        ("1, 'A1', '8.01', TRUE, 8.0, NULL, ''", "says_one_thing"),
        ("1, NULL, NULL, NULL, NULL, NULL, ''", "says_one_thing"),
        ("1, 'A1', '8.01', TRUE, NULL, 1, ''", "correction_says_why"),
        ("1, 'A1', '8.01', TRUE, NULL, NULL, 'because'", "correction_says_why"),
    ],
)
def test_the_database_holds_the_rules_of_readings_too(sql_book: SqlBook, values, broken):
    begun = begin(sql_book)
    sql_book.append(begun.reading())
    insert = (
        "INSERT INTO readings"
        " (key, at, by, revision_id, hole, gauge, goes, size, corrects_id, why) "
        f"VALUES ('k', '2025-03-31 12:00:00', 'Ada', {values})"
    )
    with pytest.raises(IntegrityError, match=broken), sql_book.engine.begin() as connection:
        connection.execute(text(insert))


def test_a_book_is_made_once(bare_url):
    with pytest.raises(BookError, match="holewright book init"):
        open_book(bare_url)
    assert create_book(bare_url) is True
    assert create_book(bare_url) is False
    assert migrate_book(bare_url) == HEAD
    opened = open_book(bare_url)
    begin(opened)
    opened.close()


def test_migrate_makes_no_book_where_there_is_none(bare_url):
    with pytest.raises(BookError, match="There is no record book"):
        migrate_book(bare_url)
    file = file_of(bare_url)
    assert file is None or not file.exists()


@pytest.mark.parametrize(
    ("version", "said"),
    [("9999", "newer holewright .* Install the newer one"), ("0000", "book migrate")],
)
def test_a_book_of_another_version_is_not_touched(url, version, said):
    engine = make_engine(url)
    with writing(engine) as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '{version}'"))
    engine.dispose()
    with pytest.raises(BookError, match=said):
        open_book(url)


def test_init_leaves_an_older_book_as_it_is(url):
    engine = make_engine(url)
    with writing(engine) as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '0000'"))
    assert create_book(url) is False
    with reading(engine) as connection:
        assert version_of(connection) == "0000"
    engine.dispose()


@pytest.fixture
def next_version(monkeypatch, tmp_path: Path) -> Path:
    """Let the program be a newer one, whose last migration adds a column."""
    folder = tmp_path / "migrations"
    shutil.copytree(schema.MIGRATIONS, folder)
    (folder / "versions" / "0002_colour.py").write_text(
        "import sqlalchemy as sa\n"
        "from alembic import op\n\n"
        "revision, down_revision = '0002', '0001'\n\n\n"
        "def upgrade():\n"
        "    op.add_column('jobs', sa.Column('colour', sa.Text, server_default='red'))\n"
    )
    monkeypatch.setattr(schema, "MIGRATIONS", folder)
    monkeypatch.setattr(schema, "HEAD", "0002")
    return folder


def test_an_older_book_is_brought_up_to_date_and_keeps_what_it_holds(url, request):
    opened = open_book(url)
    begun = begin(opened)
    opened.close()
    request.getfixturevalue("next_version")
    with pytest.raises(BookError, match="holewright book migrate"):
        open_book(url)
    assert migrate_book(url) == "0001"
    assert migrate_book(url) == "0002"
    opened = open_book(url)
    assert opened.find(JobEntry) == (begun.job,)
    with opened.engine.connect() as connection:
        assert connection.scalar(text("SELECT colour FROM jobs")) == "red"
    opened.close()


def test_a_migration_that_fails_half_way_leaves_the_book_as_it_was(url, request):
    opened = open_book(url)
    begun = begin(opened)
    opened.close()
    script = request.getfixturevalue("next_version") / "versions" / "0002_colour.py"
    script.write_text(script.read_text() + "    op.execute('SELECT nothing FROM nowhere')\n")
    with pytest.raises(BookError, match="nothing was saved"):
        migrate_book(url)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(schema, "HEAD", "0001")
        opened = open_book(url)
        assert opened.find(JobEntry) == (begun.job,)
        with reading(opened.engine) as connection:
            columns = {column["name"] for column in inspect(connection).get_columns("jobs")}
        assert "colour" not in columns
        opened.close()


def test_a_newer_book_is_not_migrated(url):
    engine = make_engine(url)
    with writing(engine) as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '9999'"))
    engine.dispose()
    with pytest.raises(BookError, match="newer"):
        migrate_book(url)


def test_a_database_that_holds_something_else_is_left_alone(bare_url):
    engine = create_engine(bare_url)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE invoices (id INTEGER)"))
    engine.dispose()
    with pytest.raises(BookError, match="holds other tables"):
        create_book(bare_url)
    with pytest.raises(BookError, match="There is no record book"):
        open_book(bare_url)


def test_a_file_that_is_no_book_is_said_to_be_none(tmp_path: Path):
    file = tmp_path / "letter.db"
    file.write_text("Dear Ada, " * 200)
    for use in (open_book, create_book):
        with pytest.raises(BookError, match="not a record book, or is damaged"):
            use(book_address(str(file)))
    assert file.read_text().startswith("Dear Ada")


def test_an_interrupted_migration_leaves_nothing_behind(bare_url, monkeypatch):
    from alembic import command

    def stop_half_way(config, target):
        connection = config.attributes["connection"]
        connection.execute(text("CREATE TABLE half (id INTEGER)"))
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "upgrade", stop_half_way)
    with pytest.raises(KeyboardInterrupt):
        create_book(bare_url)
    monkeypatch.undo()
    assert create_book(bare_url) is True
