"""A connection that sees the database as it is at one moment, while others go on writing."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import DEFAULT_DB_ALIAS, connections, transaction

_ALIAS = "snapshot"


@contextmanager
def snapshot() -> Iterator[str]:
    """The alias of a connection of its own, in one transaction that only reads.

    SQLite: a transaction that begins by reading sees one moment, and in WAL mode no writer waits
    for it; what the WAL holds is seen too. PostgreSQL: REPEATABLE READ.
    """
    own = connections[DEFAULT_DB_ALIAS].copy(_ALIAS)
    options = own.settings_dict.setdefault("OPTIONS", {})
    if own.vendor == "sqlite":
        options["transaction_mode"] = None  # not IMMEDIATE, which would keep out those who write
    else:
        from psycopg import IsolationLevel  # there only with PostgreSQL  # noqa: PLC0415

        options["isolation_level"] = IsolationLevel.REPEATABLE_READ
    connections[_ALIAS] = own
    try:
        with transaction.atomic(using=_ALIAS):
            yield _ALIAS
    finally:
        own.close()
        del connections[_ALIAS]
