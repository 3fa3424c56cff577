"""Commands that ask or fill a ledger that is there already."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.utils.translation import gettext as _


class LedgerCommand(BaseCommand):
    """A command that says plainly where there is no ledger to ask."""

    def execute(self, *args: Any, **options: Any) -> Any:
        """Look whether the ledger is there before anything else."""
        require_ledger()
        return super().execute(*args, **options)


def require_ledger() -> None:
    """Raise CommandError in a plain sentence unless the ledger is there and of this program's shape; make nothing."""
    if not _kept():
        raise CommandError(_(
            "There is no ledger in %(folder)s: begin one with manage.py start, or name the folder of another "
            "with the environment variable LEDGER_HOME."
        ) % {"folder": settings.HOME})
    try:
        executor = MigrationExecutor(connection)
    except DatabaseError as error:
        raise CommandError(_("The ledger cannot be opened (%(why)s): check that its database runs and may be read.") % {
            "why": " ".join(str(error).split()) or type(error).__name__,
        }) from error
    if executor.migration_plan(executor.loader.graph.leaf_nodes()) or _newer(executor):
        raise CommandError(_("The ledger was kept by another version of this program: manage.py start brings it to this one, "
                             "after a backup, or says why not."))


def _kept() -> bool:
    """Whether there can be a database: looking at a missing file of SQLite's would make it."""
    if connection.vendor != "sqlite":
        return True
    name = str(connection.settings_dict["NAME"])
    return "mode=memory" in name or Path(name).is_file()


def _newer(executor: MigrationExecutor) -> bool:
    """Whether a later program has changed the shape of one of our tables."""
    ours = {app for app, _name in executor.loader.disk_migrations}
    return any(app in ours for app, _name in set(executor.loader.applied_migrations) - set(executor.loader.disk_migrations))
