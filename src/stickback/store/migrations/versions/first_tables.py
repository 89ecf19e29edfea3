"""The three tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Makes students, entries and parameters."""
    op.create_table(
        "students",
        sa.Column("key", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("hidden", sa.Boolean(), nullable=False),
        sa.Column("aircraft", sa.String()),
        sa.Column("phraseology", sa.String(), nullable=False),
        sa.Column("checkride", sa.Date()),
        sa.Column("next_lesson", sa.String()),
        sa.Column("next_on", sa.Date()),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("target", sa.Float(), nullable=False),
        sa.Column("zone", sa.String()),
        sa.Column("entries", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_students"),
        sa.UniqueConstraint("name", name="uq_students_name"),
    )
    op.create_table(
        "entries",
        sa.Column("student", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("day", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("question", sa.String()),
        sa.Column("variant", sa.String()),
        sa.Column("kind", sa.String()),
        sa.Column("revision", sa.String()),
        sa.Column("aircraft", sa.String()),
        sa.Column("phraseology", sa.String()),
        sa.Column("seed", sa.BigInteger()),
        sa.Column("given", sa.String()),
        sa.Column("confidence", sa.String()),
        sa.Column("hinted", sa.Boolean()),
        sa.Column("score", sa.Float()),
        sa.Column("right", sa.Boolean()),
        sa.Column("marked_by", sa.String()),
        sa.Column("seconds", sa.Float()),
        sa.Column("voids", sa.String()),
        sa.CheckConstraint("what IN ('answer', 'void', 'flown')", name=op.f("ck_entries_what")),
        sa.ForeignKeyConstraint(["student"], ["students.key"], name="fk_entries_student_students"),
        sa.PrimaryKeyConstraint("student", "id", name="pk_entries"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "parameters",
        sa.Column("student", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("answers", sa.Integer(), nullable=False),
        sa.Column("values", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["student"], ["students.key"], name="fk_parameters_student_students"),
        sa.PrimaryKeyConstraint("student", "id", name="pk_parameters"),
    )
