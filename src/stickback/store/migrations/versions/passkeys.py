"""Passkeys: the public halves of keys that devices keep, and what those keys were asked to sign."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

_TEXT = sa.String().with_variant(sa.String(collation="C"), "postgresql")


def upgrade() -> None:
    """Makes the tables; nobody has a key yet."""
    op.create_table(
        "passkeys",
        sa.Column("id", _TEXT, nullable=False),
        sa.Column("person", sa.BigInteger(), nullable=False),
        sa.Column("public", _TEXT, nullable=False),
        sa.Column("counted", sa.BigInteger(), nullable=False),
        sa.Column("name", _TEXT, nullable=False),
        sa.Column("made", sa.BigInteger(), nullable=False),
        sa.Column("used", sa.BigInteger()),
        sa.ForeignKeyConstraint(["person"], ["persons.key"], name="fk_passkeys_person_persons"),
        sa.PrimaryKeyConstraint("id", name="pk_passkeys"),
    )
    op.create_table(
        "challenges",
        sa.Column("digest", _TEXT, nullable=False),
        sa.Column("until", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_challenges"),
    )
