"""`manage.py cost_sheet LINE`: what one unit costs, and what to charge."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandError

from ledger.costing.queries import CostSheet, cost_sheet
from ledger.facts.printing import Money, ReportCommand, day
from ledger.facts.queries import today
from ledger.pricing.queries.proposals import WayProposal, line_named, proposals
from ledger.reckoning.sharing import printed


class Command(ReportCommand):
    """Print a line's cost layer by layer, and a proposal for each way of selling."""

    help = "What one unit of a line costs, layer by layer, and what to charge by each way."

    def add_questions(self, parser: Any) -> None:
        parser.add_argument("line", help="the line's number, or its name as printed")
        parser.add_argument("--on", type=day, help="as of this day (today unless given)")

    def answer(self, **options: Any) -> dict[str, Any]:
        line = line_named(options["line"])
        if line is None:
            raise CommandError(f"No line is called {options['line']!r}.")
        on = options["on"] or today()
        sheet = cost_sheet(line, on)
        if not sheet.layers:
            raise CommandError(f"No batch of {line} was made by {on}.")
        return answer_of(sheet, proposals(sheet, on), Money())


def answer_of(sheet: CostSheet, ways: list[WayProposal], money: Money) -> dict[str, Any]:
    """A cost sheet in whole minor units that add up, money as strings; `*_all` are for all its units."""
    stock = printed([layer.stock for layer in sheet.layers])
    shelf = printed([layer.shelf for layer in sheet.layers])
    return {
        "line": str(sheet.line),
        "on": str(sheet.on),
        "final": sheet.final,
        "known": sheet.known,
        "units": sheet.units,
        "stock_cost": money.minor(sum(stock)),
        "shelf_cost": money.minor(sum(shelf)),
        "stock_cost_all": money.millionths(sheet.stock_cost * sheet.units),
        "shelf_cost_all": money.millionths(sheet.shelf_cost * sheet.units),
        "layers": [
            {"name": layer.name, "stock": money.minor(one), "shelf": money.minor(other)}
            for layer, one, other in zip(sheet.layers, stock, shelf, strict=True)
        ],
        "proposals": [_proposal(one, sheet.units, money) for one in ways],
    }


def _proposal(one: WayProposal, units: int, money: Money) -> dict[str, Any]:
    """One way as printed; its full cost is that at today's price, where there is none at the one proposed."""
    cost = one.full_cost if one.present_cost is None else one.present_cost
    return {
        "way": str(one.way),
        "full_cost": money.millionths(cost),
        "full_cost_all": None if cost is None else money.millionths(cost * units),
        "price": money.minor(one.price),
        "margin": None if one.margin_bp is None else f"{one.margin_bp / 100:.2f}",
        "present_price": money.minor(one.present),
        "why_not": one.why_not,
    }
