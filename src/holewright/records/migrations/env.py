"""Runs the migrations on the connection that ``holewright.records.schema`` hands over."""

from alembic import context

from holewright.records.schema import VERSION_TABLE
from holewright.records.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    version_table=VERSION_TABLE,
    transactional_ddl=True,  # on SQLite too: our BEGIN is a real one
)
with context.begin_transaction():
    context.run_migrations()
