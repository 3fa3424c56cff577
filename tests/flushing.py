"""Past the guards of append-only tables, where a test must: to empty the tables, or to break a row on purpose.

Django empties SQLite's tables with DELETE, which the guards of append-only tables refuse. For that moment they are
taken off, and set again as they were. PostgreSQL truncates, which asks no row.
"""

from types import SimpleNamespace
from typing import Any

from django.db import connection

from ledger.facts.append_only import unguard


def empty_past_the_guards() -> None:
    """From now on, tables are emptied with the guards off."""
    if connection.vendor != "sqlite":
        return
    as_ever = connection.ops.sql_flush

    def sql_flush(*args: Any, **given: Any) -> list[str]:
        statements = as_ever(*args, **given)
        with connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY name")
            guards = cursor.fetchall()
        return [*(f"DROP TRIGGER {name}" for name, _sql in guards), *statements, *(sql for _name, sql in guards)]

    connection.ops.sql_flush = sql_flush


def without_guards(model: Any) -> None:
    """Take a table's guards off until the transaction is rolled back; nothing to do for a table that has none."""
    with connection.cursor() as cursor:
        desk = SimpleNamespace(connection=connection, execute=lambda sql, params: cursor.execute(sql, params))
        unguard(desk, model)
