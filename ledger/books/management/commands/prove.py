"""`manage.py prove`: hold the ledger against itself."""

from __future__ import annotations

import json
import sys
from typing import Any

from ledger.books.queries.proof import prove
from ledger.facts.commands import LedgerCommand
from ledger.facts.printing import Money, day, print_table


class Command(LedgerCommand):
    """Print every place and every difference; exit 1 when there is one."""

    help = "Prove that quantities balance and every minor unit is in exactly one place."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("--json", action="store_true", help="print JSON, money as strings")
        parser.add_argument("--on", type=day, help="as of this day (today unless given)")

    def handle(self, *args: Any, **options: Any) -> None:
        proof, money = prove(options["on"]), Money()
        places = {
            name: {"paid": money.millionths(place.paid), "full": money.millionths(place.full)}
            for name, place in proof.places.items()
        }
        if options["json"]:
            answer = {"ok": proof.ok, "on": str(proof.on), "places": places, "differences": proof.differences}
            self.stdout.write(json.dumps(answer, ensure_ascii=False, indent=2))
        else:
            print_table(self.stdout, f"Places on {proof.on}", [{"place": name, **row} for name, row in places.items()])
            print_table(self.stdout, "Differences" if proof.differences else "No differences.", proof.differences)
        if not proof.ok:
            sys.exit(1)
