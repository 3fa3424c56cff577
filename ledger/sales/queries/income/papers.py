"""What issued papers say of each thing billed: its net, its share of the tax, and what of both was credited."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ledger.reckoning.sharing import share_out
from ledger.sales.models import InvoiceLine


@dataclass
class Billed:
    """What was billed of one thing, less what was credited, whole minor units; `invoiced` is the net before credits, if any.

    `credited_at`: what was credited at the prices said, with tax where they are.
    """

    invoiced: int | None = None
    credited: int = 0
    credited_at: int = 0
    tax: int = 0


def by_thing(rows: Iterable[InvoiceLine]) -> dict[tuple[str, int], Billed]:
    """What was billed of each charge of a job and of what was broken of its hire; `rows` with their invoice, in its order."""
    found: dict[tuple[str, int], Billed] = defaultdict(Billed)
    for line, tax in with_tax_shares(rows):
        named = ("charge", line.charge_id) if line.charge_id else ("broken", line.broken_id or 0)
        billed = found[named]
        if line.invoice.kind == "credit":
            billed.credited, billed.tax = billed.credited + line.net, billed.tax - tax
            billed.credited_at += line.quantity * line.price
        else:
            billed.invoiced, billed.tax = line.net, billed.tax + tax
    return found


def with_tax_shares(rows: Iterable[InvoiceLine]) -> Iterator[tuple[InvoiceLine, int]]:
    """Each line with its share of its paper's tax, by net; `rows` with their invoice."""
    papers: dict[int, list[InvoiceLine]] = defaultdict(list)
    for row in rows:
        papers[row.invoice_id].append(row)
    for lines in papers.values():
        yield from zip(lines, share_out(lines[0].invoice.tax, [line.net for line in lines]), strict=True)
