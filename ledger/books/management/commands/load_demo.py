"""Load the demonstration seasons into an empty ledger."""

from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management.base import CommandError
from django.utils.translation import gettext as _

from ledger.books.bringing import NotBroughtIn, read_folder
from ledger.books.bringing.acting import no_progress
from ledger.books.bringing.demonstration import load_demonstration
from ledger.books.bringing.report import as_lines
from ledger.books.bringing.rows import Row
from ledger.facts.commands import LedgerCommand

DEMONSTRATION = settings.ROOT / "fixtures" / "demo"
STEPS = 10


class Command(LedgerCommand):
    """`load_demo`: an invented holding with two seasons, its dates moved so that the second is the latest finished one."""

    help = "Load the demonstration seasons into an empty ledger; --verbosity 0 says nothing on the way."

    def handle(self, **options: Any) -> None:
        try:
            brought = load_demonstration(read_folder(DEMONSTRATION), self.tell if options["verbosity"] else no_progress)
        except NotBroughtIn as wrong:
            raise CommandError("\n".join(as_lines(wrong))) from wrong
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        said = _("The demonstration is there: %(rows)d rows of %(files)d files.")
        self.stdout.write(said % {"rows": sum(brought.rows.values()), "files": len(brought.rows)})

    def tell(self, looked_at: int, of: int, row: Row) -> None:
        """Say at every tenth of the way how far it has come, and to which day."""
        if looked_at * STEPS // of > (looked_at - 1) * STEPS // of:
            said = _("%(done)d of %(of)d records, up to %(on)s")
            self.stdout.write(said % {"done": looked_at, "of": of, "on": row.on or ""})
            self.stdout.flush()
