"""Every statement that the program runs on what is of a school, held to name the school of each table in it."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sa

from stickback.store.tables import Schools

OURS = sorted(set(Schools.metadata.tables) - {"schools"})
_USED = re.compile(r"((?<!DISTINCT )FROM|JOIN|UPDATE|INTO) (\w+(?:, \w+)*)")
_LISTENS: list[list[str]] = []  # the innermost hears


def lacking(statement: str) -> set[str]:
    """Tables of a statement that it uses oftener than it names their school; what is added has it among its columns."""
    used: dict[str, int] = {}
    for word, table in [(word, each) for word, names in _USED.findall(statement) for each in names.split(", ")]:
        if table not in OURS:
            continue
        added = word == "INTO" and re.search(rf"INTO {table} \([^)]*\bschool\b", statement)
        used[table] = used.get(table, 0) + (not added)
    return {table for table, many in used.items() if len(re.findall(rf"\b{table}\.school = ", statement)) < many}


@contextmanager
def every_statement() -> Iterator[list[str]]:
    """Gives those that lack a school, of what is stated meanwhile by the tables; a test may write SQL itself."""
    found: list[str] = []
    _LISTENS.append(found)

    def listen(
        connection: sa.Connection, _cursor: object, statement: str, _: object, context: Any, *__: object
    ) -> None:
        ours = connection.get_execution_options().get("purpose") in {"read", "write", "write all"}
        if found is _LISTENS[-1] and ours and context.compiled is not None and lacking(statement):
            found.append(statement)

    sa.event.listen(sa.Engine, "before_cursor_execute", listen)
    try:
        yield found
    finally:
        _LISTENS.pop()
        sa.event.remove(sa.Engine, "before_cursor_execute", listen)
