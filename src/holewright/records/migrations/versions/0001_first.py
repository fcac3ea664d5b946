"""The first tables: jobs, tool room, runs, plates, readings, estimates, verdicts, notes.

Revision ID: 0001
Revises:

Constraints get their names from the naming convention of ``tables.py``.
"""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

WRITTEN_ONCE = (
    "revisions",
    "measurements",
    "holes_cut",
    "readings",
    "plans",
    "estimates",
    "estimate_readings",
    "verdicts",
    "tool_changes",
    "notes",
)


def _entries(name: str, *columns: Any, changes: bool = False) -> None:
    version = [sa.Column("version", sa.Integer, nullable=False)] if changes else []
    op.create_table(
        name,
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("key", sa.String(64), nullable=False),
        sa.Column("at", sa.DateTime, nullable=False),
        sa.Column("by", sa.Text, nullable=False),
        *version,
        *columns,
        sa.UniqueConstraint("key"),
    )


def _ref(name: str, table: str, *, needed: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer, sa.ForeignKey(f"{table}.id"), nullable=not needed)


def _text(name: str, *, nullable: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=nullable)


def _number(name: str, kind: Any, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=nullable)


def _index(table: str, column: str) -> None:
    op.create_index(op.f(f"ix_{table}_{column}"), table, [column])


def upgrade() -> None:
    """Make the tables."""
    _jobs_and_tools()
    _runs_and_plates()
    _readings_and_proof()
    for name in WRITTEN_ONCE:
        _write_once(name)


def _jobs_and_tools() -> None:
    _entries("jobs", _text("name"), _text("stage"), sa.UniqueConstraint("name"), changes=True)
    _entries(
        "revisions",
        _ref("job_id", "jobs", needed=True),
        _number("number", sa.Integer),
        _text("text"),
        _text("document"),
        _text("callout"),
        _text("part"),
        _text("revision"),
        _text("drawing"),
        _number("invented", sa.Boolean),
        _text("software"),
        _text("data_version"),
        _text("why"),
        sa.UniqueConstraint("job_id", "number"),
        sa.CheckConstraint("number >= 1", name="number"),
    )
    _entries(
        "tools",
        _text("kind"),
        _text("name"),
        _text("document"),
        _text("state"),
        _text("note"),
        sa.UniqueConstraint("kind", "name"),
        changes=True,
    )
    _entries(
        "measurements",
        _ref("tool_id", "tools", needed=True),
        _text("quantity"),
        _number("value", sa.Double),
        _number("u", sa.Double),
        _text("certificate"),
        _number("due", sa.Date, nullable=True),
        sa.CheckConstraint("value >= 0 AND u >= 0", name="value"),
    )
    _index("measurements", "tool_id")


def _runs_and_plates() -> None:
    _entries(
        "runs",
        _ref("revision_id", "revisions", needed=True),
        _text("name"),
        _ref("machine_id", "tools"),
        _ref("holder_id", "tools"),
        _ref("drill_id", "tools"),
        _ref("reamer_id", "tools"),
        _number("ended", sa.DateTime, nullable=True),
        _text("note"),
        sa.UniqueConstraint("revision_id", "name"),
        changes=True,
    )
    _entries(
        "holes_cut",
        _ref("tool_id", "tools", needed=True),
        _number("holes", sa.Integer),
        _ref("run_id", "runs"),
        sa.CheckConstraint("holes >= 1", name="holes"),
    )
    _index("holes_cut", "tool_id")
    _entries(
        "plates",
        _ref("revision_id", "revisions", needed=True),
        _text("name"),
        _text("payload"),
        _ref("run_id", "runs"),
        sa.UniqueConstraint("revision_id", "name"),
        changes=True,
    )
    _entries(
        "tool_changes",
        _ref("run_id", "runs", needed=True),
        _ref("out_id", "tools", needed=True),
        _number("holes", sa.Integer),
        _text("why"),
        _ref("in_id", "tools"),
        sa.CheckConstraint("holes >= 0", name="holes"),
    )
    _index("tool_changes", "run_id")
    _entries("notes", _ref("job_id", "jobs", needed=True), _text("text"), _ref("run_id", "runs"))
    _index("notes", "job_id")


def _readings_and_proof() -> None:
    _entries(
        "readings",
        _ref("revision_id", "revisions", needed=True),
        _ref("run_id", "runs"),
        _ref("plate_id", "plates"),
        _text("hole", nullable=True),
        _text("gauge", nullable=True),
        _number("goes", sa.Boolean, nullable=True),
        *(
            _number(name, sa.Double, nullable=True)
            for name in ("size", "depth", "part_c", "gauge_c")
        ),
        _text("place", nullable=True),
        _text("note", nullable=True),
        _number("cut", sa.Integer, nullable=True),
        _ref("corrects_id", "readings"),
        _text("why"),
        sa.UniqueConstraint("corrects_id"),
        sa.CheckConstraint(
            "(hole IS NULL AND gauge IS NULL AND goes IS NULL AND size IS NULL"
            " AND corrects_id IS NOT NULL)"
            " OR (hole IS NOT NULL AND gauge IS NOT NULL AND (goes IS NULL) <> (size IS NULL))",
            name="says_one_thing",
        ),
        sa.CheckConstraint("(corrects_id IS NULL) = (why = '')", name="correction_says_why"),
    )
    for column in ("revision_id", "run_id", "plate_id"):
        _index("readings", column)
    _entries(
        "plans",
        _ref("revision_id", "revisions", needed=True),
        _text("plan"),
        _text("software"),
        _text("data_version"),
    )
    _index("plans", "revision_id")
    _entries(
        "estimates",
        _ref("revision_id", "revisions", needed=True),
        _text("estimate"),
        _ref("run_id", "runs"),
        _ref("plate_id", "plates"),
        _number("clearance", sa.Double),
        _text("causes"),
        _text("forecast", nullable=True),
        _number("lot_unchecked", sa.Integer, nullable=True),
        _text("software"),
        _text("data_version"),
    )
    _index("estimates", "revision_id")
    op.create_table(
        "estimate_readings",
        sa.Column("estimate_id", sa.Integer, sa.ForeignKey("estimates.id"), primary_key=True),
        sa.Column("place", sa.Integer, primary_key=True, autoincrement=False),
        _ref("reading_id", "readings", needed=True),
        sa.UniqueConstraint("estimate_id", "reading_id"),
    )
    _entries(
        "verdicts",
        _ref("estimate_id", "estimates", needed=True),
        _text("verdict"),
        _number("guard", sa.Double),
        _text("pass_anyway"),
        _text("software"),
        _text("data_version"),
    )
    _index("verdicts", "estimate_id")


def _write_once(table: str) -> None:
    """Let the database itself refuse to change or take away a row."""
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            "CREATE OR REPLACE FUNCTION written_once() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'rows of % are written once and stay', TG_TABLE_NAME; "
            "END $$"
        )
        op.execute(
            f"CREATE TRIGGER {table}_written_once BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            f"FOR EACH STATEMENT EXECUTE FUNCTION written_once()"
        )
        return
    for verb in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, 'rows of {table} are written once and stay'); END"
        )
