"""Income of retail sales, on their day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from ledger.reckoning.tax import net_and_tax
from ledger.sales.models import SaleLine, SaleTaking

from .line import DRIED, FRESH, IncomeLine


def of_sales(first: date, last: date) -> Iterable[IncomeLine]:
    """Every line of every sale."""
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
    sale = lines[0].sale
    shares = net_and_tax([line.amount for line in lines], sale.rate_bp, with_tax=sale.way.with_tax)
    return [(net, net + tax) for net, tax in shares]


def totals_of_sale(lines: Sequence[SaleLine]) -> tuple[int, int]:
    """(net, gross) of one sale's lines together."""
    shared = _without_tax(lines)
    return sum(net for net, _ in shared), sum(gross for _, gross in shared)


def _sale_line(row: SaleLine, net: int, gross: int, movements: tuple[tuple[int, int], ...]) -> IncomeLine:
    sale = row.sale
    return IncomeLine(
        on=sale.on, kind=DRIED if row.parting_id is None else FRESH, movements=movements,
        partings=() if row.parting_id is None else (row.parting_id,), net=net, gross=gross, way=sale.way_id,
        customer=sale.customer_id, spent_on=sale.stall_day_id or sale.pk, line=row.line_id, variety=_variety(row),
    )


def _variety(row: SaleLine) -> int | None:
    if row.parting is not None:
        return row.parting.lot.planting.variety_id
    assert row.line is not None
    return row.line.variety_id
