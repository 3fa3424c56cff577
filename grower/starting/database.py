"""The database: never newer than the program, backed up before it is migrated."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from . import backup
from .trouble import Trouble


def make_ready(folder: Path, say: Callable[[str], object], *, backed_up: bool = False) -> None:
    """Bring the database to this program's shape, after a verified backup where it holds anything."""
    try:
        loader = MigrationLoader(connection)
    except DatabaseError as error:
        raise Trouble(f"The database cannot be opened ({_first_line(error)}): check DATABASE_URL and that it runs.") from error
    _refuse_newer(loader)
    executor = MigrationExecutor(connection)
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return
    if loader.applied_migrations and not backed_up:
        say(f"Backed up to {backup.make(folder / 'backups', datetime.now())}")
    call_command("migrate", verbosity=0, interactive=False)


def _refuse_newer(loader: MigrationLoader) -> None:
    """Refuse a database with migrations this program does not know."""
    ours = {app for app, _name in loader.disk_migrations}
    unknown = sorted(f"{app} {name}" for app, name in set(loader.applied_migrations) - set(loader.disk_migrations) if app in ours)
    if unknown:
        raise Trouble(
            f"The database is newer than this program (it has {unknown[0]}): "
            "start it with the newer program, or go back to a backup in the folder's backups."
        )


def _first_line(error: Exception) -> str:
    return str(error).splitlines()[0] if str(error) else type(error).__name__
