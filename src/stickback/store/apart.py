"""The schools of one database, kept apart: here every statement is bound to the school of its transaction.

Whoever writes a statement leaves the school out of it; one that runs outside of a school fails for want of its value.
"""

from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from sqlalchemy.ext.compiler import compiles

from stickback.store.dialect import Dialect
from stickback.store.tables import SCHOOLS

_OURS = "of_school"  # the bound value of every statement; "school" would be a value to set


def bind(engine: sa.Engine) -> None:
    """Gives every statement of an engine the school of its transaction, by the execution option `school`."""

    @sa.event.listens_for(engine, "before_execute", retval=True)
    def give(_connection: object, statement: Any, many: Any, one: Any, options: Any) -> tuple[Any, Any, Any]:
        # What is added gets its school as the default of a column.
        if "school" in options and not isinstance(statement, sa.Insert):
            ours = {_OURS: options["school"]}
            many, one = [{**each, **ours} for each in many], one if many else {**one, **ours}
        return statement, many, one


def each(connection: sa.Connection, dialect: Dialect) -> Iterator[int]:
    """Goes on with every school of a database in turn, in one transaction: for what concerns the whole of it."""
    for school in connection.scalars(sa.select(SCHOOLS.c.key).order_by(SCHOOLS.c.key)).all():
        enter(connection, dialect, school)
        yield school


def enter(connection: sa.Connection, dialect: Dialect, school: int) -> None:
    """Goes on with another school, in the transaction that is open."""
    dialect.enter(connection, school)
    connection.execution_options(school=school)


def key(connection: sa.Connection, name: str) -> int | None:
    """The key of the school of a name; None when there is none."""
    found: int | None = connection.scalar(sa.select(SCHOOLS.c.key).where(SCHOOLS.c.name == name))
    return found


def _criteria(*sources: sa.FromClause) -> list[sa.ColumnElement[bool]]:
    return [table.c.school == sa.bindparam(_OURS) for source in sources for table in _tables(source)]


def _tables(source: sa.FromClause) -> list[sa.FromClause]:
    """What of a source holds something of a school; a migration describes its tables itself, and moves those of all."""
    if isinstance(source, sa.Join):
        found = [*_tables(source.left), *_tables(source.right)]
        if found and (source.isouter or source.full):
            raise TypeError("an outer join would keep no row without a match: ask by a subquery")
        return found
    table = source.element if isinstance(source, sa.Alias) else source
    return (
        [source] if isinstance(table, sa.Table) and table.metadata is SCHOOLS.metadata and "school" in table.c else []
    )


@compiles(sa.Select)
@compiles(sa.Update)
@compiles(sa.Delete)
def kept(statement: Any, compiler: Any, **options: Any) -> str:
    """The text of a statement, and of each within it, that keeps to the school; made once, as any other text is."""
    sources = [statement.table] if isinstance(statement, sa.Update | sa.Delete) else _froms(statement, compiler)
    visit = getattr(compiler, f"visit_{statement.__visit_name__}")
    return str(visit(statement.where(*_criteria(*sources)), **options))


def _froms(statement: Any, compiler: Any) -> list[sa.FromClause]:
    """As `get_final_froms`, which would make the whole text once more."""
    return list(statement._compile_state_factory(statement, compiler)._get_display_froms())
