"""Connections: one engine for each database, and for as long as a piece of work lasts one connection to a file.

A connection to a file is not kept longer: beside one that was put in its place meanwhile it could ruin that. While a
piece of work lasts it is taken again only where the file is still the same.
"""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from contextvars import ContextVar
from threading import Lock

import sqlalchemy as sa

from stickback.store import apart
from stickback.store.dialect import Dialect, Purpose
from stickback.store.tables import FIRST

_ENGINES: dict[Dialect, sa.Engine] = {}
_MADE_ONCE = Lock()


class Held:
    """What one piece of work has open of one database, whose transactions come one after the other."""

    def __init__(self, dialect: Dialect) -> None:
        self.dialect = dialect
        self._connection: sa.Connection | None = None
        self._file: object = None
        self._over = False

    def holds(self, dialect: Dialect) -> bool:
        """Whether it is of that database, and not over."""
        return dialect == self.dialect and not self._over

    def free(self, dialect: Dialect) -> sa.Connection | None:
        """The connection that is open, or a new one; None where it is in use, or is none to hold."""
        if not self.holds(dialect) or (file := dialect.file()) is None:
            return None
        if self._connection is not None and self._connection.in_transaction():
            return None
        if file != self._file:
            self.drop()
        if self._connection is None:
            self._connection, self._file = engine_of(dialect).connect(), file
        return self._connection

    def drop(self) -> None:
        """Closes the connection, as after an error in it."""
        connection, self._connection = self._connection, None
        if connection is not None:
            connection.close()

    def close(self) -> None:
        """Closes the connection at the end of the work."""
        self._over = True
        self.drop()


_HELD: ContextVar[Held | None] = ContextVar("held", default=None)


@contextmanager
def held(dialect: Dialect) -> Iterator[Held]:
    """A piece of work: all transactions inside that come one after the other take the same connection."""
    made = Held(dialect)
    token = _HELD.set(made)
    try:
        yield made
    finally:
        _HELD.reset(token)
        made.close()


def going_on(dialect: Dialect) -> AbstractContextManager[Held]:
    """The piece of work that this belongs to, else one of its own."""
    outer = _HELD.get()
    return nullcontext(outer) if outer is not None and outer.holds(dialect) else held(dialect)


@contextmanager
def transaction(dialect: Dialect, purpose: Purpose, school: int = FIRST) -> Iterator[sa.Connection]:
    """A connection in a transaction of a school: committed at the end, rolled back by any exception."""
    options = {"purpose": purpose, "school": school}
    with _connection(dialect) as connection, connection.execution_options(**options).begin() as begun:
        try:
            yield connection
        except GeneratorExit:  # nobody reads on; what is swept away in one go may have lost its connection already
            with suppress(sa.exc.DBAPIError):
                begun.rollback()
            raise


@contextmanager
def _connection(dialect: Dialect) -> Iterator[sa.Connection]:
    held = _HELD.get()
    if held is None or (connection := held.free(dialect)) is None:
        with engine_of(dialect).connect() as connection:
            yield connection
        return
    try:
        yield connection
    except BaseException:
        held.drop()
        raise


def engine_of(dialect: Dialect) -> sa.Engine:
    """The engine of a database."""
    with _MADE_ONCE:  # of two engines for one database, only one would ever be closed
        if dialect not in _ENGINES:
            _ENGINES[dialect] = _made(dialect)
        return _ENGINES[dialect]


def _made(dialect: Dialect) -> sa.Engine:
    made = dialect.engine()
    apart.bind(made)

    @sa.event.listens_for(made, "begin")
    def begin(connection: sa.Connection) -> None:
        options = connection.get_execution_options()
        dialect.begin(connection, options["purpose"], options["school"])

    @sa.event.listens_for(made, "checkin")
    def checkin(_connection: object, record: sa.pool.ConnectionPoolEntry) -> None:
        if _ENGINES.get(dialect) is not made:  # in use when all were closed: nobody comes for it any more
            record.invalidate()

    return made


def of_driver(error: Exception) -> bool:
    """Whether an error came straight from a driver, as where rows are taken from it or a transaction begins."""
    return any(isinstance(error, made.dialect.loaded_dbapi.Error) for made in list(_ENGINES.values()))


def close() -> None:
    """Closes every connection that is kept, as the end of the program does."""
    while _ENGINES:
        _ENGINES.popitem()[1].dispose()
