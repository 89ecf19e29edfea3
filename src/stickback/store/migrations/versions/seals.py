"""Seals: every entry gets its place in the chain of this installation; more kinds of entries; tombstones."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from alembic import op

from stickback import clock
from stickback.memory import seal
from stickback.memory.entry import SEAL, Entry

revision = "0002"
down_revision = "0001"

_TEXT = sa.String().with_variant(sa.String(collation="C"), "postgresql")
_KINDS = "what IN ('answer', 'void', 'flown', 'settings', 'flag', 'note', 'oral')"
_FIELDS = (
    *("id", "what", "day", "at", "zone", "question", "variant", "kind", "revision", "aircraft", "phraseology", "seed"),
    *("given", "confidence", "hinted", "score", "right", "marked_by", "seconds", "voids"),
)


def upgrade() -> None:
    """Makes the tables and columns, and seals what is there in the order of the ids."""
    _tables()
    with op.batch_alter_table("students") as batch:
        batch.add_column(sa.Column("number", sa.Integer(), nullable=False, server_default="0"))
        batch.add_column(sa.Column("seal", _TEXT, nullable=False, server_default=""))
    with op.batch_alter_table("entries", table_kwargs={"sqlite_with_rowid": False}) as batch:
        batch.drop_constraint(op.f("ck_entries_what"), type_="check")
        batch.create_check_constraint(op.f("ck_entries_what"), _KINDS)
        for name, kind in (("key", _TEXT), ("device", _TEXT), ("number", sa.Integer()), ("seal", _TEXT)):
            batch.add_column(sa.Column(name, kind))
    _seal_all(clock.uuid7(int(datetime.now(UTC).timestamp() * 1000)))
    with op.batch_alter_table("students") as batch:
        batch.alter_column("number", server_default=None)
        batch.alter_column("seal", server_default=None)
    with op.batch_alter_table("entries", table_kwargs={"sqlite_with_rowid": False}) as batch:
        for name in SEAL:
            batch.alter_column(name, nullable=False)


def _tables() -> None:
    op.create_table(
        "seals",
        sa.Column("student", sa.Integer(), nullable=False),
        sa.Column("device", _TEXT, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("seal", _TEXT, nullable=False),
        sa.ForeignKeyConstraint(["student"], ["students.key"], name="fk_seals_student_students"),
        sa.PrimaryKeyConstraint("student", "device", "number", "seal", name="pk_seals"),
    )
    op.create_table(
        "installations",
        sa.Column("id", _TEXT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_installations"),
    )
    op.create_table(
        "tombstones",
        sa.Column("salt", _TEXT, nullable=False),
        sa.Column("digest", _TEXT, nullable=False),
        sa.PrimaryKeyConstraint("salt", name="pk_tombstones"),
    )


def _seal_all(device: str) -> None:
    connection = op.get_bind()
    connection.execute(sa.text("INSERT INTO installations (id) VALUES (:id)"), {"id": device})
    entry, student = (sa.table(name, *map(sa.column, columns)) for name, columns in _COLUMNS.items())
    for (key,) in connection.execute(sa.select(student.c.key)).all():
        rows = connection.execute(
            sa.select(*(entry.c[name] for name in _FIELDS)).where(entry.c.student == key).order_by(entry.c.id)
        ).all()
        chain = list(_chain(rows, device))
        if chain:
            change = sa.update(entry).where(entry.c.student == key, entry.c.id == sa.bindparam("of"))
            connection.execute(change.values({name: sa.bindparam(f"new_{name}") for name in SEAL}), chain)
            last = {"number": chain[-1]["new_number"], "seal": chain[-1]["new_seal"]}
            connection.execute(sa.update(student).where(student.c.key == key).values(last))


_COLUMNS = {"entries": ("student", *_FIELDS, *SEAL), "students": ("key", "number", "seal")}


def _chain(rows: Any, device: str) -> Iterator[dict[str, object]]:
    before = ""
    for number, row in enumerate(rows, 1):
        values = dict(zip(_FIELDS, row, strict=True))
        values["day"] = clock.day_date(values["day"])
        for name in ("hinted", "right"):
            values[name] = None if values[name] is None else bool(values[name])
        before = seal.sealed(Entry(**values), device, number, before).seal or ""
        yield {"of": values["id"], "new_device": device, "new_number": number, "new_seal": before}
