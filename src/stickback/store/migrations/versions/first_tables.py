"""The three tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_TEXT = sa.String().with_variant(sa.String(collation="C"), "postgresql")


def upgrade() -> None:
    """Makes students, entries and parameters."""
    op.create_table(
        "students",
        sa.Column("key", sa.Integer(), nullable=False),
        sa.Column("name", _TEXT, nullable=False),
        sa.Column("hidden", sa.Boolean(), nullable=False),
        sa.Column("aircraft", _TEXT),
        sa.Column("phraseology", _TEXT, nullable=False),
        sa.Column("checkride", sa.Date()),
        sa.Column("next_lesson", _TEXT),
        sa.Column("next_on", sa.Date()),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("target", sa.Float(), nullable=False),
        sa.Column("zone", _TEXT),
        sa.Column("entries", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_students"),
        sa.UniqueConstraint("name", name="uq_students_name"),
    )
    op.create_table(
        "entries",
        sa.Column("student", sa.Integer(), nullable=False),
        sa.Column("id", _TEXT, nullable=False),
        sa.Column("what", _TEXT, nullable=False),
        sa.Column("day", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("zone", _TEXT, nullable=False),
        sa.Column("question", _TEXT),
        sa.Column("variant", _TEXT),
        sa.Column("kind", _TEXT),
        sa.Column("revision", _TEXT),
        sa.Column("aircraft", _TEXT),
        sa.Column("phraseology", _TEXT),
        sa.Column("seed", sa.BigInteger()),
        sa.Column("given", _TEXT),
        sa.Column("confidence", _TEXT),
        sa.Column("hinted", sa.Boolean()),
        sa.Column("score", sa.Float()),
        sa.Column("right", sa.Boolean()),
        sa.Column("marked_by", _TEXT),
        sa.Column("seconds", sa.Float()),
        sa.Column("voids", _TEXT),
        sa.CheckConstraint("what IN ('answer', 'void', 'flown')", name=op.f("ck_entries_what")),
        sa.ForeignKeyConstraint(["student"], ["students.key"], name="fk_entries_student_students"),
        sa.PrimaryKeyConstraint("student", "id", name="pk_entries"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "parameters",
        sa.Column("student", sa.Integer(), nullable=False),
        sa.Column("id", _TEXT, nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("answers", sa.Integer(), nullable=False),
        sa.Column("values", _TEXT, nullable=False),
        sa.ForeignKeyConstraint(["student"], ["students.key"], name="fk_parameters_student_students"),
        sa.PrimaryKeyConstraint("student", "id", name="pk_parameters"),
    )
