"""More settings of a student: whether other states' rules are asked, and how transmissions are heard."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

_TEXT = sa.String().with_variant(sa.String(collation="C"), "postgresql")
_NEW = (("abroad", sa.Boolean(), sa.false()), ("listen", _TEXT, "off"))


def upgrade() -> None:
    """Gives students the settings; for those who are there nothing is other than before."""
    with op.batch_alter_table("students") as batch:
        for name, kind, usual in _NEW:
            batch.add_column(sa.Column(name, kind, nullable=False, server_default=usual))
    with op.batch_alter_table("students") as batch:
        for name, _, _ in _NEW:
            batch.alter_column(name, server_default=None)
