"""Run by alembic: on the connection that `Database.upgrade` hands over."""

from alembic import context

from stickback.store import tables

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=tables.Entries.metadata,
    render_as_batch=True,
    user_module_prefix="sqlmodel.sql.sqltypes.",
)
context.run_migrations()
