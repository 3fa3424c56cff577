"""Guards of the database itself: rows that are only ever added, and marked undone once.

A migration that alters a guarded table makes SQLite build it anew without its
guards, so it ends with `guard` again. The guards know the table's columns as of
the migration that set them.
"""

from __future__ import annotations

from typing import Any

UNDOING = frozenset({"undone_at", "undone_by"})
SAYS = "append-only: no row is ever removed, and none changed but by undoing it once"


def guard(schema_editor: Any, model: Any) -> None:
    """Refuse, in the database, to remove a row of a fact's table, or to change one but by undoing it."""
    unguard(schema_editor, model)
    statements = _postgres if schema_editor.connection.vendor == "postgresql" else _sqlite
    for statement in statements(model._meta.db_table, _unchanged(schema_editor, model)):
        schema_editor.execute(statement, params=None)


def unguard(schema_editor: Any, model: Any) -> None:
    """Take the guards off, for a migration that must mend rows."""
    table, postgres = model._meta.db_table, schema_editor.connection.vendor == "postgresql"
    for name in _names(table):
        schema_editor.execute(f"DROP TRIGGER IF EXISTS {name}" + (f" ON {table}" if postgres else ""), params=None)
    if postgres:
        schema_editor.execute(f"DROP FUNCTION IF EXISTS {table}_stays()", params=None)


def _names(table: str) -> tuple[str, str]:
    return f"{table}_never_removed", f"{table}_never_changed"


def _unchanged(schema_editor: Any, model: Any) -> str:
    """The condition that every column but the undoing is what it was, and that it was not undone before."""
    same = "IS NOT DISTINCT FROM" if schema_editor.connection.vendor == "postgresql" else "IS"
    columns = [schema_editor.quote_name(field.column) for field in model._meta.local_fields if field.name not in UNDOING]
    kept = " AND ".join(f"NEW.{column} {same} OLD.{column}" for column in columns)
    return f"OLD.undone_at IS NULL AND {kept}"


def _sqlite(table: str, unchanged: str) -> tuple[str, ...]:
    removed, changed = _names(table)
    return (
        f"CREATE TRIGGER {removed} BEFORE DELETE ON {table} BEGIN SELECT RAISE(ABORT, '{table}: {SAYS}'); END",
        f"CREATE TRIGGER {changed} BEFORE UPDATE ON {table} WHEN NOT ({unchanged}) "
        f"BEGIN SELECT RAISE(ABORT, '{table}: {SAYS}'); END",
    )


def _postgres(table: str, unchanged: str) -> tuple[str, ...]:
    removed, changed = _names(table)
    return (
        f"CREATE FUNCTION {table}_stays() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{table}: {SAYS}' USING ERRCODE = 'integrity_constraint_violation'; END $$",
        f"CREATE TRIGGER {removed} BEFORE DELETE ON {table} FOR EACH ROW EXECUTE FUNCTION {table}_stays()",
        f"CREATE TRIGGER {changed} BEFORE UPDATE ON {table} FOR EACH ROW WHEN (NOT ({unchanged})) "
        f"EXECUTE FUNCTION {table}_stays()",
    )
