"""Alembic's entry: migrations run on the connection that the program hands over."""

from alembic import context

from ferrule.store.tables import Base

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=Base.metadata,
    render_as_batch=True,
    compare_type=True,
    transaction_per_migration=False,
)
context.run_migrations()
