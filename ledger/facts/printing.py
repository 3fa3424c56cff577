"""What commands print: a table, or JSON with money as strings."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from datetime import date
from typing import Any

from django.core.management.base import CommandError, OutputWrapper

from ledger.reckoning.currency import format_minor, minor_digits
from ledger.reckoning.sharing import to_minor

from .commands import LedgerCommand
from .queries import holding


class Money:
    """Money in the holding's currency as text."""

    def __init__(self) -> None:
        self._digits = minor_digits(holding().currency)

    def minor(self, amount: int | None) -> str | None:
        """Whole minor units as text, None where nothing is known."""
        return None if amount is None else format_minor(amount, self._digits)

    def millionths(self, amount: int | None) -> str | None:
        """Millionths of a minor unit as text in whole minor units."""
        return None if amount is None else self.minor(to_minor(amount))


def day(text: str) -> date:
    """A day given to a command, as 2025-12-31."""
    try:
        found = date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day such as 2025-12-31") from error
    if not 1900 <= found.year <= 2200:
        raise argparse.ArgumentTypeError(f"{text!r} lies too far away; check the year")
    return found


class ReportCommand(LedgerCommand):
    """A command that answers one question as a table, or with --json as JSON."""

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("--json", action="store_true", help="print JSON, money as strings")
        self.add_questions(parser)

    def add_questions(self, parser: Any) -> None:
        """What the question takes."""

    def answer(self, **options: Any) -> dict[str, Any]:
        """The answer as plain values."""
        raise CommandError("no answer")

    def table(self, answer: dict[str, Any]) -> list[tuple[str, list[dict[str, Any]]]]:
        """The answer as named tables: (heading, rows)."""
        plain = {key: value for key, value in answer.items() if not isinstance(value, list | dict)}
        lists = [(key, value) for key, value in answer.items() if isinstance(value, list) and value]
        whole = [{"": key, "=": value} for key, value in plain.items()]
        groups = {key: value for key, value in answer.items() if isinstance(value, dict)}
        named = [(key, [{"": name, "=": one} for name, one in group.items()]) for key, group in groups.items()]
        return [("", whole), *named, *lists]

    def handle(self, *args: Any, **options: Any) -> None:
        answer = self.answer(**options)
        if options["json"]:
            self.stdout.write(json.dumps(answer, default=plainly, ensure_ascii=False, indent=2))
        else:
            for heading, rows in self.table(answer):
                print_table(self.stdout, heading, rows)


def plainly(value: Any) -> Any:
    """Days, decimals and translated words as text for JSON."""
    return str(value)


def print_table(out: OutputWrapper, heading: str, rows: Sequence[Any]) -> None:
    """Print rows under a heading, columns aligned."""
    if heading:
        out.write(f"\n{heading}")
    if not rows:
        return
    if not isinstance(rows[0], dict):
        for row in rows:
            out.write(f"  {row}")
        return
    heads = list(rows[0])
    cells = [[_cell(row[head]) for head in heads] for row in rows]
    widths = [max(len(head), *(len(row[place]) for row in cells)) for place, head in enumerate(heads)]
    lines = [heads, *cells] if any(head not in {"", "="} for head in heads) else cells
    for line in lines:
        out.write("  " + "  ".join(text.ljust(width) for text, width in zip(line, widths, strict=True)).rstrip())


def _cell(value: Any) -> str:
    return "-" if value is None else str(value)
