"""Use cases: the one place where files, database, clock and core meet."""
