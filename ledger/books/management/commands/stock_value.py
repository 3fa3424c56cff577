"""`manage.py stock_value`: what the stock is worth on a day."""

from __future__ import annotations

from typing import Any

from django.core.management import CommandError

from ledger.books.queries.valuing import StockValue, printed_lines, stock_value
from ledger.facts.printing import Money, ReportCommand, day
from ledger.reckoning.sharing import to_minor
from ledger.reckoning.valuation import METHODS


class Command(ReportCommand):
    """Print the year's flow of stock cost, the write-down and the value, line by line."""

    help = "Value the stock at the end of a day by one of four methods."

    def add_questions(self, parser: Any) -> None:
        parser.add_argument("--on", type=day, required=True, help="the day")
        parser.add_argument("--since", type=day, help="the first day of the flows")
        parser.add_argument("--method", choices=METHODS, help="the holding's own method unless given")

    def answer(self, **options: Any) -> dict[str, Any]:
        if options["since"] and options["since"] > options["on"]:
            raise CommandError(f"The flows cannot begin on {options['since']}, after the day of the valuation.")
        valued = stock_value(options["on"], since=options["since"], method=options["method"])
        return answer_of(valued, Money())


def answer_of(valued: StockValue, money: Money) -> dict[str, Any]:
    """A valuation in whole minor units that add up, money as strings."""
    flows = valued.in_minor()
    costs, values = printed_lines(valued, flows["closing_cost"])
    lines = [
        {
            "line": str(line.line), "quantity": line.quantity, "cost": money.minor(cost),
            "nrv": money.millionths(line.realisable), "value": money.minor(value),
        }
        for line, cost, value in zip(valued.lines, costs, values, strict=True)
    ]
    write_down = flows["closing_cost"] - sum(values)
    return {
        "on": str(valued.on),
        "method": valued.method,
        **{name: money.minor(amount) for name, amount in flows.items()},
        "write_down": money.minor(write_down),
        "value": money.minor(flows["closing_cost"] - write_down),
        "put_right": money.minor(to_minor(valued.put_right)),
        "final": valued.final,
        "in_progress": {place: money.millionths(amount) for place, amount in valued.in_progress.items()},
        "lines": lines,
    }
