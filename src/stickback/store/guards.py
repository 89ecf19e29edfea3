"""Guards: the database itself refuses to change or delete an entry, whoever asks; put back after every migration."""

import sqlite3

GUARDS: dict[str, str] = {
    "entries_are_never_changed": """
        CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
        BEGIN SELECT RAISE(ABORT, 'an entry is never changed: void it'); END""",
    "entries_are_never_deleted": """
        CREATE TRIGGER entries_are_never_deleted BEFORE DELETE ON entries
        BEGIN SELECT RAISE(ABORT, 'an entry is never deleted: void it'); END""",
    # REPLACE and upserts delete or update without the triggers above unless they are stopped before they insert.
    "entries_are_never_replaced": """
        CREATE TRIGGER entries_are_never_replaced BEFORE INSERT ON entries
        WHEN EXISTS (SELECT 1 FROM entries WHERE student = NEW.student AND id = NEW.id)
        BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END""",
}


def install(connection: sqlite3.Connection) -> None:
    """Puts every guard in place, in the transaction that is open."""
    remove(connection)
    for statement in GUARDS.values():
        connection.execute(statement)


def remove(connection: sqlite3.Connection) -> None:
    """Takes the guards away, for a migration or the erasing of a student, in the transaction that is open."""
    for name in GUARDS:
        connection.execute(f"DROP TRIGGER IF EXISTS {name}")


def missing(connection: sqlite3.Connection) -> list[str]:
    """Names of guards that are not in place as they should be."""
    found = {
        name: " ".join(sql.split())
        for name, sql in connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    }
    return [name for name, sql in GUARDS.items() if found.get(name) != " ".join(sql.split())]
