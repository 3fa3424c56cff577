"""The net sales of some days, added up from the lines of sales, dispatches, jobs and credits themselves, apart from tracing."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from django.db.models import F, Q, Sum

from ledger.reckoning.tax import tax_within
from ledger.sales.models import Dispatch, DispatchLine, Invoice, InvoiceLine, SaleLine
from ledger.sales.queries.carriage import billed_later

from .net_work import net_work


def net_sales(first: date, last: date) -> int:
    """What was sold, sent and done from a day up to and including another, without tax, carriage charged with it, minor units.

    A sale's tax is that of its sum, halves up; credits issued by the last day come off what was sent on those days,
    carriage billed by then beyond what went with a dispatch is added to it.
    """
    days = {"undone_at": None, "on__gte": first, "on__lte": last}
    sent = _of("dispatch", days)
    bunches = DispatchLine.objects.filter(**sent).aggregate(net=Sum(F("bunches") * F("order_line__price")))["net"] or 0
    carried = Dispatch.objects.filter(**days).aggregate(net=Sum("carriage"))["net"] or 0
    later = billed_later().filter(invoice__on__lte=last, **_of("carriage_of", days)).aggregate(net=Sum("more"))["net"] or 0
    credits = InvoiceLine.objects.filter(invoice__kind=Invoice.Kind.CREDIT, invoice__undone_at=None, invoice__on__lte=last)
    of_these = Q(**_of("dispatch_line__dispatch", days)) | Q(**_of("carriage_of", days))
    credited = credits.filter(of_these).aggregate(net=Sum("net"))["net"] or 0
    return _retail(days) + bunches + carried + later - credited + net_work(first, last)


def _of(what: str, days: dict[str, date | None]) -> dict[str, date | None]:
    return {f"{what}__{name}": value for name, value in days.items()}


def _retail(days: dict[str, date | None]) -> int:
    """The sum of each sale, less the tax it holds where its prices are with tax."""
    sums: dict[tuple[int, int, bool], int] = defaultdict(int)
    lines = SaleLine.objects.filter(**_of("sale", days))
    for pk, rate, with_tax, quantity, price, off in lines.values_list(
        "sale", "sale__rate_bp", "sale__way__with_tax", "quantity", "price", "off"
    ):
        sums[pk, rate, with_tax] += quantity * price - off
    return sum(amount - (tax_within(amount, rate) if with_tax else 0) for (_pk, rate, with_tax), amount in sums.items())
