"""Load the demonstration season into an empty ledger."""

from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from ledger.books.bringing import NotBroughtIn, read_folder
from ledger.books.bringing.demonstration import load_demonstration
from ledger.books.bringing.report import as_lines

DEMONSTRATION = settings.ROOT / "fixtures" / "demo"


class Command(BaseCommand):
    """`load_demo`: an invented holding with one season, its dates moved to the latest finished one."""

    help = "Load the demonstration season into an empty ledger."

    def handle(self, **options: Any) -> None:
        try:
            brought = load_demonstration(read_folder(DEMONSTRATION))
        except NotBroughtIn as wrong:
            raise CommandError("\n".join(as_lines(wrong))) from wrong
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        said = _("The demonstration season is there: %(rows)d rows of %(files)d files.")
        self.stdout.write(said % {"rows": sum(brought.rows.values()), "files": len(brought.rows)})
