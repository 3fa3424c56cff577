"""Markup and margin read back from a cost sheet; source in examples.json."""

from django.urls import reverse

from ledger.pricing.actions import add_way, set_price, set_terms
from ledger.stock.actions import Output, make_run
from tests.factories.stock import LineFactory

from .records import MADE, YEAR_END, cents, dried, hung


def sheet_of(owner, client_as, sale, answer):
    """The cost sheet's row of a way that costs nothing, for a line that cost and sells at what is printed."""
    hanging, line = hung(10, sale["cost"]), LineFactory(stems=10)
    dried(hanging, sound=10)
    make_run(by=owner, on=MADE, inputs=[(hanging, 10)], outputs=[Output(line, 1)])
    way = add_way(by=owner, name=f"Gate {sale['cost']}")
    set_terms(by=owner, way=way, on=MADE, margin_bp=cents(answer["margin_pct"]))
    set_price(by=owner, way=way, line=line, on=MADE, amount=cents(sale["price"]))
    page = client_as(owner).get(reverse("pricing:cost_sheet", args=[line.pk]), {"on": YEAR_END})
    return next(row.of for row in page.context["ways"] if row.of.way == way)


def test_mm_01_on_the_cost_sheet(published, owner, client_as):
    """100 at 125 and 80 at 100 show 25 % markup and 20 % margin, and are what that margin proposes."""
    case = published["MM-01"]
    for sale, answer in list(zip(case["inputs"], case["expected"], strict=True))[:2]:
        row = sheet_of(owner, client_as, sale, answer)
        assert row.price == row.present == cents(sale["price"])
        assert row.margin_bp == row.present_margin_bp == cents(answer["margin_pct"])
        assert row.markup_bp == cents(answer["markup_pct"])
