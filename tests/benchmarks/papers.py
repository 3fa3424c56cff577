"""Each main paper beside bare WeasyPrint laying out the same HTML.

    python -m tests.benchmarks.papers

A small season of everything, with 60 boxes for the labels, 40 lines with a
price and 20 of them in boxes, asked for in one order and on one invoice. "Small"
are papers of a line or two. A paper is asked for through its page, so the figures, the template and
the middleware are in it; bare WeasyPrint is given the same HTML, with fonts and
stylesheet read before. Cold: the first time after something was written, the cost book
made anew and every QR code drawn. Aim: the page within 1.3 times the bare layout.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from typing import Any

from tests.benchmarks.apart import measured_apart, migrated, new_owner, print_row
from tests.benchmarks.cost_book import _seconds, _signed_in, _statements

ON = date(2024, 12, 31)
LABELS, PRICED, ORDERED = 60, 40, 20
HEADS = ("paper", "HTML KB", "PDF KB", "statements", "cold s", "page s", "bare s", "page/bare", "within 1.3")


def one() -> None:
    """Spin the season and print a row a paper."""
    vendor = migrated()
    owner = new_owner()
    from tests.plenty import spin_plenty

    spin_plenty(owner)
    _add_boxes(owner)
    _add_prices(owner)
    _add_orders(owner)
    print(f"{vendor}; aim: a paper's page within 1.3 times WeasyPrint alone with the same HTML")
    print_row(HEADS, 13)
    client = _signed_in(owner)
    for name, address in addresses().items():
        print_row((name, *measure(client, address)), 13)


def _add_boxes(by: Any) -> None:
    """Sixty boxes with bunches in them."""
    from ledger.stock import actions as stock
    from ledger.stock.models import Content

    for at in range(LABELS):
        box = stock.new_box(by=by, shelf=f"Bench {at % 4}")
        there = Content.objects.there().out_of_parcels().exclude(box__shelf__startswith="Bench").filter(bunches__gt=1).first()
        if there is not None:
            stock.move(by=by, on=date(2025, 9, 1), batch=there.batch, bunches=1, source=there.box, target=box)


def _add_prices(by: Any) -> None:
    """Forty more lines with a price by every way."""
    from ledger.growing.models import Variety
    from ledger.pricing import actions as pricing
    from ledger.pricing.models import Way
    from ledger.stock import actions as stock

    for at in range(PRICED):
        line = stock.add_line(by=by, variety=Variety.objects.first(), colour=f"bench {at}", unit="bunch", stems=10)
        for way in Way.objects.all():
            pricing.set_price(by=by, way=way, line=line, on=date(2025, 1, 1), amount=400 + at)


def _add_orders(by: Any) -> None:
    """Two orders of twenty lines each in a box of its own: one to be picked, one sent and invoiced."""
    from ledger.facts.models import CostKind
    from ledger.pricing.models import Way
    from ledger.sales import actions as sales
    from ledger.sales.models import Customer
    from ledger.stock import actions as stock
    from ledger.stock.models import Line

    on, way, customer = date(2025, 9, 2), Way.objects.filter(kind="trade").first(), Customer.objects.filter(trade=True).first()
    lines = list(Line.objects.filter(colour__startswith="bench")[:ORDERED])
    made = [stock.Output(line, 6, box=stock.new_box(by=by, shelf=f"Rack {at % 5}")) for at, line in enumerate(lines)]
    bought = stock.buy_in(
        by=by, on=on, supplier="Sorrel Farm", outputs=made, net=12000, tax=0, kind=CostKind.objects.get(code="plants")
    )
    batches = {batch.line_id: batch for batch in bought.batches.all()}
    asked = [sales.Asked(line, 2) for line in lines]
    of = {"by": by, "on": on, "customer": customer, "way": way, "lines": asked, "all_the_same": True}
    sales.take_order(**of, reference="to pick")
    sent = sales.take_order(**of, reference="sent")
    for line, output in zip(sent.lines.order_by("pk"), made, strict=True):
        sales.pack(by=by, order_line=line, on=on, batch=batches[output.line.pk], box=output.box, bunches=2)
    sales.send(by=by, order=sent, on=on)
    sales.invoice(by=by, order=sent, on=on)


def addresses() -> dict[str, str]:
    """The address of each main paper."""
    from django.urls import reverse

    from ledger.pricing.models import Way
    from ledger.sales.models import Invoice, Order
    from ledger.stock.models import Batch, Box

    boxes = "&".join(f"boxes={box.pk}" for box in Box.objects.filter(shelf__startswith="Bench"))
    small = Order.objects.standing().with_standing().filter(kept__gt=0).first() or Order.objects.first()
    line = Batch.objects.standing().first().line
    return {
        "labels": f"{reverse('stock:labels')}?size={_size()}&first=1&{boxes}",
        "picking list": reverse("sales:picking_list", args=[Order.objects.get(reference="to pick").pk]),
        "small picking": reverse("sales:picking_list", args=[small.pk]),
        "invoice": reverse("sales:invoice_paper", args=[Invoice.objects.get(order__reference="sent").pk]),
        "small invoice": reverse("sales:invoice_paper", args=[Invoice.objects.order_by("pk").first().pk]),
        "price list": f"{reverse('pricing:price_list_paper', args=[Way.objects.retail().first().pk])}?on=2025-10-01",
        "availability": reverse("sales:availability_paper"),
        "valuation": f"{reverse('books:valuation_paper')}?on={ON}&method=fifo",
        "cost sheet": f"{reverse('pricing:cost_sheet_paper', args=[line.pk])}?on={ON}",
    }


def _size() -> str:
    """The sheet with the most labels."""
    from ledger.stock.forms.labels import SHEETS

    return max(SHEETS, key=lambda name: SHEETS[name][1].count)


def measure(client: Any, address: str) -> tuple[str, ...]:
    """A paper's size, statements, its page's time and WeasyPrint's alone."""
    from ledger.facts import paper

    said: list[tuple[str, str]] = []
    lay_out = paper._pdf
    paper._pdf = lambda weasyprint, html, more: (said.append((html, more)), lay_out(weasyprint, html, more))[1]
    answer = client.get(address)
    paper._pdf = lay_out
    if not said:
        return (f"no paper: {answer.status_code}",)
    html, more = said[0]
    statements = len(_statements(lambda: client.get(address)))
    cold = _seconds(lambda: _after_a_write(client, address), 1)
    page, bare = quickest(lambda: client.get(address), bare_layout(html, more))
    within = "yes" if page <= 1.3 * bare else "NO"
    size = (f"{len(html) / 1024:.0f}", f"{len(answer.content) / 1024:.0f}")
    return (*size, str(statements), f"{cold:.3f}", f"{page:.3f}", f"{bare:.3f}", f"{page / bare:.2f}", within)


def _after_a_write(client: Any, address: str) -> None:
    """Ask for a paper when nothing kept from before holds any more."""
    import secrets

    from ledger.facts import paper
    from ledger.facts.models import LedgerState

    LedgerState.objects.update(token=secrets.token_hex(16))
    paper.qr_picture.cache_clear()
    client.get(address)


def quickest(*works: Callable[[], Any], times: int = 7) -> list[float]:
    """The shortest of several runs of each, in seconds, taken in turn, so that what else runs here disturbs all alike."""
    taken = [[_seconds(work, 1) for work in works] for _ in range(times)]
    return [min(column) for column in zip(*taken, strict=True)]


def bare_layout(html: str, more: str) -> Callable[[], Any]:
    """WeasyPrint by itself, its fonts and sheets read before."""
    import weasyprint
    from django.conf import settings
    from weasyprint.text.fonts import FontConfiguration

    from ledger.facts.paper import STYLESHEET

    fonts = FontConfiguration()
    sheets = [weasyprint.CSS(filename=settings.ROOT / STYLESHEET, font_config=fonts)]
    if more:
        sheets.append(weasyprint.CSS(string=more, font_config=fonts))
    return lambda: weasyprint.HTML(string=html).write_pdf(stylesheets=sheets, font_config=fonts)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        one()
    else:
        measured_apart("tests.benchmarks.papers")
