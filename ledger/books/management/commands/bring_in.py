"""Bring a folder of plain CSVs into the ledger."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from ledger.books.bringing import NotBroughtIn, bring_in, read_folder
from ledger.books.bringing.report import as_json, as_lines, described
from ledger.facts.commands import require_ledger
from ledger.facts.models import User


class Command(BaseCommand):
    """`bring_in FOLDER`: all of it, or every fault and nothing brought in."""

    help = "Bring a folder of plain CSVs into the ledger: all of it, or nothing and every fault."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", nargs="?", type=Path)
        parser.add_argument("--by", help="who brings it in (else the first owner)")
        parser.add_argument("--json", action="store_true")
        parser.add_argument("--columns", action="store_true", help="list the files and their columns and stop")

    def handle(self, **options: Any) -> None:
        if options["columns"]:
            self.stdout.write("\n".join(described()))
            return
        result = self.bring(options["folder"], options["by"])
        text = json.dumps(as_json(result), ensure_ascii=False) if options["json"] else "\n".join(as_lines(result))
        self.stdout.write(text)
        if isinstance(result, NotBroughtIn):
            raise CommandError(_("Nothing was brought in: %(faults)d faulty, %(waiting)d waiting.")
                               % {"faults": len(result.faults), "waiting": len(result.waiting)})

    def bring(self, folder: Path | None, name: str | None) -> Any:
        if folder is None or not folder.is_dir():
            raise CommandError(_("There is no such folder: %(folder)s.") % {"folder": folder})
        require_ledger()
        try:
            return bring_in(by=person(name), files=read_folder(folder))
        except NotBroughtIn as wrong:
            return wrong
        except (ValidationError, PermissionDenied) as error:
            raise CommandError(" ".join(getattr(error, "messages", [str(error)]))) from error


def person(name: str | None) -> User | None:
    """Who does it: the one named, else the first owner, None where nobody is there yet."""
    if name is None:
        return User.objects.filter(role=User.Role.OWNER, is_active=True).order_by("pk").first()
    found = User.objects.filter(username=name).first()
    if found is None:
        raise CommandError(_("Nobody here is called %(name)s.") % {"name": name})
    return found
