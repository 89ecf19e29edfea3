"""Persons: who may come in by a school's page, how, and who did what."""

from typing import Literal

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

_TEXT = sa.String().with_variant(sa.String(collation="C"), "postgresql")


def upgrade() -> None:
    """Makes the tables, and gives entries a column for who stored them; nobody is in them yet."""
    op.create_table(
        "persons",
        sa.Column("key", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("name", _TEXT, nullable=False),
        sa.Column("alike", _TEXT, nullable=False),
        sa.Column("role", _TEXT, nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("password", _TEXT),
        sa.Column("wishes", _TEXT),
        sa.PrimaryKeyConstraint("key", name="pk_persons"),
        sa.UniqueConstraint("alike", name="uq_persons_alike"),
    )
    op.create_table(
        "instructs",
        _person(),
        sa.Column("student", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["person"], ["persons.key"], name="fk_instructs_person_persons"),
        sa.ForeignKeyConstraint(["student"], ["students.key"], name="fk_instructs_student_students"),
        sa.PrimaryKeyConstraint("person", "student", name="pk_instructs"),
    )
    _of_a_person(
        "invitations",
        sa.Column("digest", _TEXT, nullable=False),
        sa.Column("until", sa.BigInteger(), nullable=False),
        sa.Column("ended", sa.BigInteger()),
    )
    _of_a_person(
        "sessions",
        sa.Column("digest", _TEXT, nullable=False),
        sa.Column("made", sa.BigInteger(), nullable=False),
        sa.Column("seen", sa.BigInteger(), nullable=False),
        sa.Column("shared", sa.Boolean(), nullable=False),
    )
    op.create_table(
        "attempts",
        sa.Column("digest", _TEXT, nullable=False),
        sa.Column("failed", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("known", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_attempts"),
    )
    op.create_table(
        "acts",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("who", _TEXT),
        sa.Column("what", _TEXT, nullable=False),
        sa.Column("whom", _TEXT),
        sa.PrimaryKeyConstraint("number", name="pk_acts"),
    )
    again: Literal["always", "auto"] = "always" if op.get_bind().dialect.name == "sqlite" else "auto"
    with op.batch_alter_table("entries", recreate=again, table_kwargs={"sqlite_with_rowid": False}) as batch:
        batch.add_column(sa.Column("person", sa.BigInteger()))


def _person() -> sa.Column[int]:
    return sa.Column("person", sa.BigInteger(), autoincrement=False, nullable=False)


def _of_a_person(table: str, key: sa.Column[str], *columns: sa.Column[object]) -> None:
    op.create_table(
        table,
        key,
        _person(),
        *columns,
        sa.ForeignKeyConstraint(["person"], ["persons.key"], name=f"fk_{table}_person_persons"),
        sa.PrimaryKeyConstraint(key.name, name=f"pk_{table}"),
    )
