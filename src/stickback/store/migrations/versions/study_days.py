"""An index of a student's entries by study day, so that the last one is found without reading them all."""

from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Makes the index."""
    op.create_index("ix_entries_student_day", "entries", ["student", "day"])
