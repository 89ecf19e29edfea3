"""The engine for writing, and the way from any older schema to the newest."""

import sqlite3
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from sqlmodel import create_engine

from stickback.store import guards

_PRAGMAS = ("journal_mode = WAL", "synchronous = FULL", "trusted_schema = OFF", "secure_delete = ON")


def engine(path: Path, *, foreign_keys: bool, busy_seconds: int = 5) -> sa.Engine:
    """An engine whose transactions take the write lock at once, so that none fails half-way for want of it."""
    # A connection kept open would go on writing to a file that was moved away meanwhile.
    url = sa.URL.create("sqlite", database=str(path))
    made = create_engine(url, connect_args={"timeout": busy_seconds}, poolclass=sa.pool.NullPool)

    @sa.event.listens_for(made, "connect")
    def connect(connection: sqlite3.Connection, _: Any) -> None:
        connection.isolation_level = None  # BEGIN comes from below
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        connection.execute(f"PRAGMA foreign_keys = {'ON' if foreign_keys else 'OFF'}")

    @sa.event.listens_for(made, "begin")
    def begin(connection: sa.Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    return made


def upgrade(path: Path, revision: str = "head", busy_seconds: int = 5) -> None:
    """Brings a database to a version of the schema, in one transaction.

    Foreign keys are off meanwhile: rebuilding a parent table would otherwise delete its children.
    """
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "stickback.store:migrations")
    config.set_main_option("path_separator", "os")
    apart = engine(path, foreign_keys=False, busy_seconds=busy_seconds)
    with apart.begin() as connection:
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)  # noqa: S101 - the engine above is SQLite's
        guards.remove(driver)
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
        guards.install(driver)
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if broken:
            raise sqlite3.DatabaseError("malformed: entries without their student")
