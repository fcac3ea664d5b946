"""The tables of the record book. The migrations make them; a test holds the two together."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Date,
    DateTime,
    Double,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

from holewright.records.plain import canonical


class UtcTime(TypeDecorator[datetime]):
    """A time with its zone, kept as UTC: SQLite has no zones."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return what is written to the database."""
        return None if value is None else value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return what was read from the database."""
        return None if value is None else value.replace(tzinfo=UTC)


class Document(TypeDecorator[Any]):
    """Plain JSON data, kept as text, so that both databases hold the same digits."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Return what is written to the database."""
        return None if value is None else canonical(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        """Return what was read from the database."""
        return None if value is None else json.loads(value)


METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)


def _table(name: str, *columns: Any, changes: bool = False) -> Table:
    """Return a table with what every entry has."""
    version = [Column("version", Integer, nullable=False)] if changes else []
    return Table(
        name,
        METADATA,
        Column("id", Integer, primary_key=True),
        Column("key", String(64), nullable=False),
        Column("at", UtcTime, nullable=False),
        Column("by", Text, nullable=False),
        *version,
        *columns,
        UniqueConstraint("key"),
    )


def _needs(name: str, table: str) -> Column[int]:
    return Column(name, Integer, ForeignKey(f"{table}.id"), nullable=False)


def _may_have(name: str, table: str) -> Column[int]:
    return Column(name, Integer, ForeignKey(f"{table}.id"), nullable=True)


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False)


def _made_by() -> tuple[Column[str], Column[str]]:
    return _text("software"), _text("data_version")


jobs = _table("jobs", _text("name"), _text("stage"), UniqueConstraint("name"), changes=True)

revisions = _table(
    "revisions",
    _needs("job_id", "jobs"),
    Column("number", Integer, nullable=False),
    _text("text"),
    Column("document", Document, nullable=False),
    _text("callout"),
    _text("part"),
    _text("revision"),
    _text("drawing"),
    Column("invented", Boolean, nullable=False),
    *_made_by(),
    _text("why"),
    UniqueConstraint("job_id", "number"),
    CheckConstraint("number >= 1", name="number"),
)

tools = _table(
    "tools",
    _text("kind"),
    _text("name"),
    Column("document", Document, nullable=False),
    _text("state"),
    _text("note"),
    UniqueConstraint("kind", "name"),
    changes=True,
)

measurements = _table(
    "measurements",
    _needs("tool_id", "tools"),
    _text("quantity"),
    Column("value", Double, nullable=False),
    Column("u", Double, nullable=False),
    _text("certificate"),
    Column("due", Date, nullable=True),
    CheckConstraint("value >= 0 AND u >= 0", name="value"),
    Index(None, "tool_id"),
)

runs = _table(
    "runs",
    _needs("revision_id", "revisions"),
    _text("name"),
    _may_have("machine_id", "tools"),
    _may_have("holder_id", "tools"),
    _may_have("drill_id", "tools"),
    _may_have("reamer_id", "tools"),
    Column("ended", UtcTime, nullable=True),
    _text("note"),
    UniqueConstraint("revision_id", "name"),
    changes=True,
)

holes_cut = _table(
    "holes_cut",
    _needs("tool_id", "tools"),
    Column("holes", Integer, nullable=False),
    _may_have("run_id", "runs"),
    CheckConstraint("holes >= 1", name="holes"),
    Index(None, "tool_id"),
)

plates = _table(
    "plates",
    _needs("revision_id", "revisions"),
    _text("name"),
    Column("payload", Document, nullable=False),
    _may_have("run_id", "runs"),
    UniqueConstraint("revision_id", "name"),
    changes=True,
)

readings = _table(
    "readings",
    _needs("revision_id", "revisions"),
    _may_have("run_id", "runs"),
    _may_have("plate_id", "plates"),
    Column("hole", Text, nullable=True),
    Column("gauge", Text, nullable=True),
    Column("goes", Boolean, nullable=True),
    Column("size", Double, nullable=True),
    Column("depth", Double, nullable=True),
    Column("part_c", Double, nullable=True),
    Column("gauge_c", Double, nullable=True),
    Column("place", Document, nullable=True),
    Column("note", Text, nullable=True),
    Column("cut", Integer, nullable=True),
    _may_have("corrects_id", "readings"),
    _text("why"),
    UniqueConstraint("corrects_id"),
    CheckConstraint(
        "(hole IS NULL AND gauge IS NULL AND goes IS NULL AND size IS NULL"
        " AND corrects_id IS NOT NULL)"
        " OR (hole IS NOT NULL AND gauge IS NOT NULL AND (goes IS NULL) <> (size IS NULL))",
        name="says_one_thing",
    ),
    CheckConstraint("(corrects_id IS NULL) = (why = '')", name="correction_says_why"),
    Index(None, "revision_id"),
    Index(None, "run_id"),
    Index(None, "plate_id"),
)

plans = _table(
    "plans",
    _needs("revision_id", "revisions"),
    Column("plan", Document, nullable=False),
    *_made_by(),
    Index(None, "revision_id"),
)

estimates = _table(
    "estimates",
    _needs("revision_id", "revisions"),
    Column("estimate", Document, nullable=False),
    _may_have("run_id", "runs"),
    _may_have("plate_id", "plates"),
    Column("clearance", Double, nullable=False),
    Column("causes", Document, nullable=False),
    Column("forecast", Document, nullable=True),
    Column("lot_unchecked", Integer, nullable=True),
    *_made_by(),
    Index(None, "revision_id"),
)

estimate_readings = Table(
    "estimate_readings",
    METADATA,
    Column("estimate_id", Integer, ForeignKey("estimates.id"), primary_key=True),
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("reading_id", Integer, ForeignKey("readings.id"), nullable=False),
    UniqueConstraint("estimate_id", "reading_id"),
)
"""Which readings an estimate was made of, in their order."""

verdicts = _table(
    "verdicts",
    _needs("estimate_id", "estimates"),
    Column("verdict", Document, nullable=False),
    Column("guard", Double, nullable=False),
    Column("pass_anyway", Document, nullable=False),
    *_made_by(),
    Index(None, "estimate_id"),
)

tool_changes = _table(
    "tool_changes",
    _needs("run_id", "runs"),
    _needs("out_id", "tools"),
    Column("holes", Integer, nullable=False),
    _text("why"),
    _may_have("in_id", "tools"),
    CheckConstraint("holes >= 0", name="holes"),
    Index(None, "run_id"),
)

notes = _table(
    "notes",
    _needs("job_id", "jobs"),
    _text("text"),
    _may_have("run_id", "runs"),
    Index(None, "job_id"),
)

WRITTEN_ONCE = (
    revisions,
    measurements,
    holes_cut,
    readings,
    plans,
    estimates,
    estimate_readings,
    verdicts,
    tool_changes,
    notes,
)
"""Tables whose rows the database itself lets nobody change or take away."""
