"""Net income, line by line, on the day of sale or sending."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.reckoning.sharing import share_out
from ledger.reckoning.tax import tax_on, tax_within
from ledger.sales.models import DispatchLine, InvoiceLine, SaleLine, SaleTaking

from .carriage import shared_over_lines

FOREVER = date.min


@dataclass(frozen=True)
class IncomeLine:
    """What one line of a retail sale or of a dispatch brought in, whole minor units.

    `kind` "dried" or "fresh". `movements`: the rows of the stock book it took,
    with bunches each (none for fresh, which has `parting`). `spent_on`: the
    cost object that bears its selling: stall day, else order, else sale. What
    was credited of a dispatch is taken off. A dispatch's carriage is shared
    over its lines by their net value.
    """

    on: date
    kind: str
    movements: tuple[tuple[int, int], ...]
    parting: int | None
    net: int
    gross: int
    way: int
    customer: int | None
    spent_on: int
    line: int | None
    variety: int | None


def income(first: date | None, last: date) -> list[IncomeLine]:
    """Income of the days from `first` (None: ever) up to and including `last`, in order of day.

    A fixed number of queries. Credits count when issued by `last`.
    """
    since = first or FOREVER
    return sorted([*_retail(since, last), *_trade(since, last)], key=lambda line: line.on)


def _retail(first: date, last: date) -> Iterable[IncomeLine]:
    rows = SaleLine.objects.filter(sale__undone_at__isnull=True, sale__on__gte=first, sale__on__lte=last)
    rows = rows.select_related("sale__way", "line", "parting__lot__planting").order_by("sale__on", "sale", "pk")
    takings = _takings(first, last)
    sales: dict[int, list[SaleLine]] = defaultdict(list)
    for row in rows:
        sales[row.sale_id].append(row)
    for lines in sales.values():
        for row, (net, gross) in zip(lines, _without_tax(lines), strict=True):
            yield _sale_line(row, net, gross, tuple(takings[row.pk]))


def _takings(first: date, last: date) -> dict[int | None, list[tuple[int, int]]]:
    rows = SaleTaking.objects.filter(sale__undone_at__isnull=True, sale__on__gte=first, sale__on__lte=last)
    found: dict[int | None, list[tuple[int, int]]] = defaultdict(list)
    for line, movement, bunches in rows.order_by("pk").values_list("line", "movement", "movement__bunches"):
        found[line].append((movement, -bunches))
    return found


def _without_tax(lines: Sequence[SaleLine]) -> list[tuple[int, int]]:
    """(net, gross) of each line of one sale; its tax is that of the sum, shared by amount."""
    sale, amounts = lines[0].sale, [line.amount for line in lines]
    whole = sum(amounts)
    if sale.way.with_tax:
        taxes = share_out(tax_within(whole, sale.rate_bp), amounts)
        return [(amount - tax, amount) for amount, tax in zip(amounts, taxes, strict=True)]
    taxes = share_out(tax_on(whole, sale.rate_bp), amounts)
    return [(amount, amount + tax) for amount, tax in zip(amounts, taxes, strict=True)]


def totals_of_sale(lines: Sequence[SaleLine]) -> tuple[int, int]:
    """(net, gross) of one sale's lines together."""
    shared = _without_tax(lines)
    return sum(net for net, _ in shared), sum(gross for _, gross in shared)


def _sale_line(row: SaleLine, net: int, gross: int, movements: tuple[tuple[int, int], ...]) -> IncomeLine:
    sale, parting = row.sale, row.parting
    return IncomeLine(
        on=sale.on, kind="fresh" if parting else "dried", movements=movements, parting=row.parting_id, net=net,
        gross=gross, way=sale.way_id, customer=sale.customer_id, spent_on=sale.stall_day_id or sale.pk,
        line=row.line_id, variety=_variety(row),
    )


def _variety(row: SaleLine) -> int | None:
    if row.parting is not None:
        return row.parting.lot.planting.variety_id
    assert row.line is not None
    return row.line.variety_id


def _trade(first: date, last: date) -> Iterable[IncomeLine]:
    """What was sent, each line with its share of its dispatch's carriage."""
    rows = DispatchLine.objects.filter(dispatch__undone_at__isnull=True, dispatch__on__gte=first, dispatch__on__lte=last)
    sent = list(rows.select_related("dispatch", "order_line__order", "order_line__line").order_by("dispatch__on", "pk"))
    papers = _on_papers(first, last)
    kept = {row.dispatch_id: row.dispatch.carriage - papers.carriage_credited[row.dispatch_id] for row in sent}
    carried, carried_tax = shared_over_lines(sent, kept), shared_over_lines(sent, papers.carriage_taxes)
    for row in sent:
        order = row.order_line.order
        net = row.bunches * row.order_line.price - papers.credited[row.pk] + carried[row.pk]
        yield IncomeLine(
            on=row.dispatch.on, kind="dried", movements=((row.movement_id, row.bunches),), parting=None, net=net,
            gross=net + papers.taxes[row.pk] + carried_tax[row.pk], way=order.way_id, customer=order.customer_id,
            spent_on=order.pk, line=row.order_line.line_id, variety=row.order_line.line.variety_id,
        )


@dataclass(frozen=True)
class _Papers:
    """By dispatch line, and by dispatch for carriage: the share of the tax of invoices less credits, and the net credited."""

    taxes: dict[int | None, int]
    credited: dict[int | None, int]
    carriage_taxes: dict[int, int]
    carriage_credited: dict[int, int]


def _on_papers(first: date, last: date) -> _Papers:
    rows = InvoiceLine.objects.filter(invoice__on__lte=last, invoice__order__dispatches__on__gte=first).distinct()
    papers: dict[int, list[InvoiceLine]] = defaultdict(list)
    for row in rows.select_related("invoice").order_by("invoice__number", "pk"):
        papers[row.invoice_id].append(row)
    found = _Papers(defaultdict(int), defaultdict(int), defaultdict(int), defaultdict(int))
    for lines in papers.values():
        paper = lines[0].invoice
        sign = -1 if paper.kind == "credit" else 1
        for line, tax in zip(lines, share_out(paper.tax, [line.net for line in lines]), strict=True):
            _note(found, line, sign * tax, line.net if sign < 0 else 0)
    return found


def _note(found: _Papers, line: InvoiceLine, tax: int, credited: int) -> None:
    if line.carriage_of_id is None:
        found.taxes[line.dispatch_line_id] += tax
        found.credited[line.dispatch_line_id] += credited
    else:
        found.carriage_taxes[line.carriage_of_id] += tax
        found.carriage_credited[line.carriage_of_id] += credited
