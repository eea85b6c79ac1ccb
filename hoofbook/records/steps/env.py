"""Read by Alembic for each step: the connection comes from `hoofbook.records.migrating`, inside its transaction."""

from __future__ import annotations

from alembic import context

from hoofbook.records import tables

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=tables.VERSION.metadata,
    version_table="schema_version",
    render_as_batch=True,
)
context.run_migrations()
