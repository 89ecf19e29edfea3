"""Schools: whatever a database holds is of one, and every key begins with it."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"

_TEXT = sa.String().with_variant(sa.String(collation="C"), "postgresql")
_FIRST = 1
# The keys of each table behind the school, and what it refers to; what others refer to comes first.
_TABLES: dict[str, tuple[tuple[str, ...], dict[str, str]]] = {
    "students": (("key",), {}),
    "persons": (("key",), {}),
    "installations": (("id",), {}),
    "tombstones": (("salt",), {}),
    "attempts": (("digest",), {}),
    "challenges": (("digest",), {}),
    "acts": (("number",), {}),
    "entries": (("student", "id"), {"student": "students"}),
    "parameters": (("student", "id"), {"student": "students"}),
    "seals": (("student", "device", "number", "seal"), {"student": "students"}),
    "instructs": (("person", "student"), {"person": "persons", "student": "students"}),
    "invitations": (("digest",), {"person": "persons"}),
    "sessions": (("digest",), {"person": "persons"}),
    "passkeys": (("id",), {"person": "persons"}),
}
_UNIQUE = {"students": "name", "persons": "alike"}
_NO_ROWID = {"entries"}


def upgrade() -> None:
    """Makes the table of schools with one in it, which everything that is there is of."""
    op.create_table(
        "schools",
        sa.Column("key", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", _TEXT, nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_schools"),
        sa.UniqueConstraint("name", name="uq_schools_name"),
    )
    op.bulk_insert(sa.table("schools", sa.column("key"), sa.column("name")), [{"key": _FIRST, "name": "first"}])
    op.drop_index("ix_entries_student_day", "entries")
    for table in _TABLES:
        op.add_column(table, sa.Column("school", sa.Integer(), nullable=False, server_default=str(_FIRST)))
    of_server = op.get_bind().dialect.name == "postgresql"
    if of_server:  # it holds a key for as long as anything refers to it
        for table, (_, refers) in _TABLES.items():
            for column, other in refers.items():
                op.drop_constraint(f"fk_{table}_{column}_{other}", table, type_="foreignkey")
    for table, (keys, refers) in _TABLES.items():
        _change(table, keys, refers, dropped=of_server)
    op.create_index("ix_entries_student_day", "entries", ["school", "student", "day"])


def _change(table: str, keys: tuple[str, ...], refers: dict[str, str], *, dropped: bool) -> None:
    options = {"sqlite_with_rowid": False} if table in _NO_ROWID else {}
    # SQLite calls a table without rowid damaged whose columns begin with others than its key has.
    columns = [each["name"] for each in sa.inspect(op.get_bind()).get_columns(table)]
    order = [("school", *(name for name in columns if name != "school"))]
    with op.batch_alter_table(table, table_kwargs=options, partial_reordering=order) as batch:
        batch.alter_column("school", server_default=None)
        batch.drop_constraint(f"pk_{table}", type_="primary")
        batch.create_primary_key(f"pk_{table}", ["school", *keys])
        if (unique := _UNIQUE.get(table)) is not None:
            batch.drop_constraint(f"uq_{table}_{unique}", type_="unique")
            batch.create_unique_constraint(f"uq_{table}_school", ["school", unique])
        for column, other in refers.items():
            if not dropped:
                batch.drop_constraint(f"fk_{table}_{column}_{other}", type_="foreignkey")
            batch.create_foreign_key(f"fk_{table}_school_{other}", other, ["school", column], ["school", "key"])
        if not refers:
            batch.create_foreign_key(f"fk_{table}_school_schools", "schools", ["school"], ["key"])
        if dropped and table == "students":  # numbered within a school from now on
            batch.alter_column("key", server_default=None)
    if dropped and table == "students":
        op.execute("DROP SEQUENCE students_key_seq")
