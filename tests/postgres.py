"""A PostgreSQL server for tests, whose databases are used again.

Making a database copies some three hundred files, and whoever comes to it first reads its whole catalogue. So one that
a test has done with gets the rows of a new one, and is known to the program by a new name, since it may have remembered
something by the old; only one in which more than rows was changed is thrown away.
"""

import itertools
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import psycopg
import sqlalchemy as sa

from stickback.store import engine
from stickback.store.engine import Database
from stickback.store.postgresql import PostgreSQL

# Nothing is kept of this server, so nothing waits for its disk.
HASTY = ("fsync = off", "synchronous_commit = off", "full_page_writes = off", "autovacuum = off")
ROLE = "school"
LARGEST = 2_000_000  # bytes of tables and indexes: one that grew beyond keeps the room of rows that are gone

OURS = "n.nspname !~ '^pg_' AND n.nspname <> 'information_schema'"
# Below this number stands what every database has; to know it by the number is quicker than by its schema.
FIRST = 16_384
OF_CLASS = (
    f"JOIN pg_class c ON c.oid = {{0}} JOIN pg_namespace n ON n.oid = c.relnamespace WHERE {OURS} AND {{0}} >= {FIRST}"
)
# All of a database that is no row: who may what, and what stands where; the same for two databases that are alike.
FORM = f"""
SELECT md5(string_agg(part, ' ' ORDER BY part)) FROM (
    SELECT concat_ws(' ', n.nspname, n.nspowner, n.nspacl) AS part FROM pg_namespace n WHERE {OURS}
    UNION ALL SELECT concat_ws(' ', n.nspname, c.relname, c.relkind, c.relowner, c.relacl, c.reloptions, relrowsecurity,
            relforcerowsecurity)
        FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace WHERE {OURS}
    UNION ALL SELECT concat_ws(' ', c.relname, attnum, attname, atttypid, attcollation, attnotnull, attacl)
        FROM pg_attribute {OF_CLASS.format("attrelid")}
    UNION ALL SELECT concat_ws(' ', c.relname, adnum, pg_get_expr(adbin, adrelid))
        FROM pg_attrdef {OF_CLASS.format("adrelid")}
    UNION ALL SELECT concat_ws(' ', c.relname, conname, convalidated, pg_get_constraintdef(o.oid))
        FROM pg_constraint o {OF_CLASS.format("conrelid")}
    UNION ALL SELECT concat_ws(' ', indisvalid, pg_get_indexdef(indexrelid)) FROM pg_index {OF_CLASS.format("indrelid")}
    UNION ALL SELECT concat_ws(' ', tgenabled, pg_get_triggerdef(t.oid))
        FROM pg_trigger t {OF_CLASS.format("tgrelid")} AND NOT tgisinternal
    UNION ALL SELECT concat_ws(' ', c.relname, polname, polcmd, polpermissive, polroles, pg_get_expr(polqual, polrelid),
            pg_get_expr(polwithcheck, polrelid)) FROM pg_policy {OF_CLASS.format("polrelid")}
    UNION ALL SELECT concat_ws(' ', n.nspname, proname, proowner, proacl, prosrc)
        FROM pg_proc p JOIN pg_namespace n ON n.oid = p.pronamespace WHERE {OURS} AND p.oid >= {FIRST}
    UNION ALL SELECT concat_ws(' ', datallowconn, datconnlimit, datacl)
        FROM pg_database WHERE datname = current_database()
    UNION ALL SELECT concat_ws(' ', setrole, setconfig)
        FROM pg_db_role_setting s JOIN pg_database d ON d.oid = s.setdatabase WHERE datname = current_database()
)
"""
SIZE = "SELECT sum(pg_total_relation_size(relid)) FROM pg_stat_user_tables"
OTHERS = """SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity
WHERE datname = current_database() AND pid <> pg_backend_pid()"""
GUARD = "SELECT pg_get_functiondef('entries_stand'::regproc)"
# What the guards ask, while a database is filled.
LET = "CREATE OR REPLACE FUNCTION entries_stand() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NULL; END'"


@dataclass(frozen=True)
class Rows:
    """What stands in the tables of a database, as the server itself writes it, and where its counters are."""

    tables: dict[str, bytes]
    counters: dict[str, tuple[int, bool]]

    @classmethod
    def of(cls, connection: psycopg.Connection) -> "Rows":
        """Those of a database."""
        names = "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = '{}'"
        tables = {}
        for (name,) in connection.execute(names.format("r")).fetchall():
            with connection.cursor().copy(f"COPY {name} TO STDOUT") as written:
                tables[name] = b"".join(written)
        counters = {}
        for (name,) in connection.execute(names.format("S")).fetchall():
            counters[name] = connection.execute(f"SELECT last_value, is_called FROM {name}").fetchone()
        return cls(tables, counters)

    def fill(self, connection: psycopg.Connection, guard: str) -> None:
        """Puts them in the place of all that a database of the same form holds."""
        with connection.transaction():
            emptied = "; ".join(f"DELETE FROM {name}" for name in self.tables)
            connection.execute(f"{LET}; SET LOCAL session_replication_role = replica; {emptied}")
            for name, written in self.tables.items():
                if written:
                    with connection.cursor().copy(f"COPY {name} FROM STDIN") as taken:
                        taken.write(written)
            counted = [f"SELECT setval('{name}', {at}, {called})" for name, (at, called) in self.counters.items()]
            connection.execute("; ".join([*counted, guard]))


@dataclass(frozen=True)
class Template:
    """A new database of the newest schema: its name, a digest of its form, its rows and the function of its guards."""

    name: str
    form: str
    rows: Rows
    guard: str


@dataclass(frozen=True)
class Server:
    """PostgreSQL; the databases of this process have a name of their own."""

    url: sa.URL
    numbers: Iterator[int] = field(default_factory=itertools.count)
    templates: list[Template] = field(default_factory=list)  # the one, once it was made
    made: list[str] = field(default_factory=list)  # those in use, the latest last
    spare: list[str] = field(default_factory=list)  # as good as new
    kept: dict[str, psycopg.Connection] = field(default_factory=dict)  # by the name of the database

    def ask(self, statement: str) -> None:
        """Tells the server something that concerns no single database."""
        self._to(self.url.database or "postgres").execute(statement)

    def _connect(self, name: str) -> psycopg.Connection:
        url = self.url.set(drivername="postgresql", database=name).render_as_string(hide_password=False)
        return psycopg.connect(url, autocommit=True)

    def _to(self, name: str) -> psycopg.Connection:
        """The connection to a database that is kept."""
        if name not in self.kept:
            self.kept[name] = self._connect(name)
        return self.kept[name]

    def _database(self, name: str) -> Database:
        # Nobody looks for the host of this number: where the server is follows in the query.
        host = f"number{next(self.numbers)}"
        url = self.url.set(username=ROLE, host=host, database=name, drivername="postgresql+psycopg")
        return Database(PostgreSQL(url.render_as_string(hide_password=False)))

    def _make(self, template: str) -> str:
        name = f"t{os.getpid()}_{next(self.numbers)}"
        self.ask(f"CREATE DATABASE {name} OWNER {ROLE} TEMPLATE {template}")
        return name

    def _taken(self, name: str) -> Database:
        self.made.append(name)
        return self._database(name)

    def _template(self) -> Template:
        """The first database of all, which nobody else gets."""
        if not self.templates:
            name = self._make("template0")
            self._database(name).prepare()
            engine.close()
            with self._connect(name) as connection:
                ((form,), (guard,)) = (connection.execute(query).fetchone() for query in (FORM, GUARD))
                self.templates.append(Template(name, form, Rows.of(connection), guard))
        return self.templates[0]

    def nothing(self, folder: Path, name: str = "new") -> Database:
        return self._taken(self._make("template0"))

    def empty(self, folder: Path, name: str = "school") -> Database:
        return self._taken(self.spare.pop() if self.spare else self._make(self._template().name))

    def copy(self, store: Database, folder: Path, name: str = "copy") -> Database:
        database = sa.make_url(store.dialect.url).database
        assert database is not None
        connection = self._to(database)
        ((form,),) = connection.execute(FORM)
        if form == self._template().form:
            copied = self.empty(folder, name)
            Rows.of(connection).fill(self._to(self.made[-1]), self._template().guard)
            return copied
        self._let_go(database)
        engine.close()  # a database in use is no template
        return self._taken(self._make(database))

    def sweep(self) -> Callable[[], None]:
        already = len(self.made)

        def away() -> None:
            while len(self.made) > already:
                self._done_with(self.made.pop())

        return away

    def _done_with(self, name: str) -> None:
        """Makes a database as good as new, or throws it away."""
        connection = self._to(name)
        while connection.execute(OTHERS).fetchall() != [(0,)]:
            pass  # told until they are gone; the server itself would look in steps of a tenth of a second
        asked = connection.execute(f"{SIZE}; {FORM}")
        ((size,),), ((form,),) = (each.fetchall() for each in asked.results())
        if (size or 0) < LARGEST and form == self._template().form:
            self._template().rows.fill(connection, self._template().guard)
            self.spare.append(name)
        else:
            self._let_go(name)
            self.ask(f"DROP DATABASE {name} WITH (FORCE)")

    def _let_go(self, name: str) -> None:
        if name in self.kept:
            self.kept.pop(name).close()

    def close(self) -> None:
        """Leaves every database."""
        for name in [*self.kept]:
            self._let_go(name)
