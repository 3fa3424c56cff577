"""Planned against actual margin, worked by hand to the minor unit."""

from datetime import date

import pytest
from django.db import connection
from django.template.loader import render_to_string
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.books.queries.margins import margins
from ledger.books.queries.sold import BILLED, BY_TERMS, CARD_BILLED, PITCH_BILLED, fees_due, sold_lines
from ledger.costing.actions import plan_overheads
from ledger.growing.models import Lot
from ledger.pricing import actions as pricing
from ledger.pricing.models import WayTerms
from ledger.sales import actions as sales
from ledger.stock.actions import take_back
from ledger.stock.models import Movement
from tests.books.market import ASKED, MARKET_DAY, SEPTEMBER, bill_pitch, market
from tests.factories.sales import order_of, ready, sent
from tests.thread import spin_thread


def figures(row):
    """Net, cost to the shelf, selling, fees, what is left, what was planned."""
    return row.net, row.shelf, row.selling, row.fees, row.actual, row.planned


def test_a_stall_days_pitch_and_hours_are_shared_by_sales_value(owner):
    """Net 120.00 and 30.00: of 10.00 pitch and 12.00 hours they bear 17.60 and 4.40, of takings 2 % each.

    Nine of 27 bunches cost 41.33 of 124.00; 40 of 100 stems 20.00 of 50.00. Wanted was 30 % of net.
    """
    market(owner)
    dried, fresh = margins("line", *SEPTEMBER, ASKED).rows

    assert figures(dried) == (12000, 4133, 1760, 288, 5819, 3600)
    assert figures(fresh) == (3000, 2000, 440, 72, 488, 900)
    assert (dried.actual_bp, fresh.actual_bp, dried.planned_bp) == (4849, 1627, 3000)
    assert (dried.beyond, fresh.beyond) == (2219, -412)


@pytest.mark.parametrize("by", ["line", "customer", "way", "market_day"])
def test_rows_add_up_to_the_same_total_however_they_are_told(owner, by):
    """Both lines together: 150.00 net, 61.33 goods, 22.00 selling, 3.60 fees, 63.07 left, 45.00 planned."""
    market(owner)
    found = margins(by, *SEPTEMBER, ASKED)

    assert figures(found.total) == (15000, 6133, 2200, 360, 6307, 4500)
    assert [sum(column) for column in zip(*map(figures, found.rows), strict=True)] == list(figures(found.total))


def test_overheads_of_the_year_come_on_top_as_on_the_cost_sheet(owner):
    """Of a base of 1,000.00: 5 % storage, 10 % overheads, 5 % bad luck; fresh stems were never stored."""
    market(owner)
    plan_overheads(
        by=owner, on=ASKED, year=2024, overheads=10000, usual_idle_and_luck=5000, usual_base=100000, storage=5000,
    )
    dried, fresh = margins("line", *SEPTEMBER, ASKED).rows

    assert (dried.shelf, fresh.shelf) == (4960, 2300)


def test_what_has_no_known_cost_is_in_no_figure_but_its_own(owner):
    """A planting without an expectation that still grows: its 30.00 net stand beside, the pitch's share with them."""
    market(owner, cleared=False)
    found = margins("way", *SEPTEMBER, SEPTEMBER[1])

    assert (found.total.net, found.total.not_yet, found.total.selling) == (12000, 3000, 1760)
    assert margins("line", *SEPTEMBER, SEPTEMBER[1]).rows[1].net == 0
    assert not found.total.final


def test_goods_given_away_show_their_figures_beside_what_cannot_be_said(owner):
    """Nine bunches at nothing, beside fresh stems whose cost is not known, at the 500 stems expected in September.

    400 of 500 of 112.00 and 12.00 of bunching are 101.60, a third 33.87; twice a third is 67.73: the market prints 33.86.
    """
    made = market(owner, cleared=False)
    gift = pricing.add_way(by=owner, name="Gift")
    lot = Lot.objects.get(planting__variety__species__name="Statice")
    for sold in (sales.Sold(9, line=made.thread.line, price=0), sales.Sold(40, lot=lot, price=90)):
        sales.sell(by=owner, on=MARKET_DAY, way=gift, lines=[sold])
    given, fresh = margins("way", *SEPTEMBER, SEPTEMBER[1]).rows[1], margins("line", *SEPTEMBER, SEPTEMBER[1]).rows[1]
    cells, none = (render_to_string("books/_margins_cells.html", {"row": row}) for row in (given, fresh))

    assert (given.sales, given.said, given.net, given.shelf, given.not_yet) == (2, 1, 0, 3387, 3000)
    assert ">-33.87<" in cells and "cannot say yet" not in cells
    assert (fresh.said, "cannot say yet" in none) == (0, True)


def test_only_the_days_asked_about_count(owner):
    """Nothing was sold in October; the group asked for alone is shown."""
    made = market(owner)

    assert margins("way", date(2024, 10, 1), ASKED, ASKED).rows == []
    assert margins("line", *SEPTEMBER, ASKED, only=("line", made.thread.line.pk)).total.net == 12000


def test_a_way_without_terms_plans_nothing_and_bears_no_fees(owner):
    """80.00 over a gate nobody set terms for: no margin was wanted of it."""
    thread = spin_thread(owner)
    way = pricing.add_way(by=owner, name="Gate")
    sales.sell(by=owner, on=MARKET_DAY, way=way, lines=[sales.Sold(10, line=thread.line, price=800)])
    (row,) = margins("customer", *SEPTEMBER, ASKED).rows

    assert figures(row) == (8000, 4593, 0, 0, 3407, 0)
    assert (row.unplanned, str(row.name)) == (8000, "no customer named")
    assert (row.planned_bp, row.beyond, row.actual_bp) == (None, None, 4259)


def test_sales_without_a_wanted_margin_leave_the_plan_of_the_others_alone(owner, client_as):
    """Besides 150.00 planned at 30 %, 40.00 net over a gate without terms: still 30 % and 18.07 beyond, not less."""
    made = market(owner)
    sold = [sales.Sold(3, line=made.thread.line, price=1600)]
    sales.sell(by=owner, on=MARKET_DAY, way=pricing.add_way(by=owner, name="Gate"), lines=sold)
    asked = {"first": "2024-09-01", "last": "2024-09-30", "by": "way"}
    page = client_as(owner).get(reverse("books:margins"), asked).content.decode()

    for by in ("way", "line"):
        total = margins(by, *SEPTEMBER, ASKED).total
        assert (total.unplanned, total.planned, total.planned_bp, total.beyond) == (4000, 4500, 3000, 1807)
    assert [row.beyond for row in margins("way", *SEPTEMBER, ASKED).rows] == [1807, None]
    assert "Planned was 30 % of the net a margin was set for" in page.replace("\xa0", " ")


def test_the_planned_share_is_the_one_that_was_wanted(owner):
    """25 % of 46.67 are 11.6675, printed 11.67, which is 25.01 % of it: what was wanted is said, 25 %."""
    way, thread = pricing.add_way(by=owner, name="To order"), spin_thread(owner)
    pricing.set_terms(by=owner, way=way, on=date(2024, 1, 1), margin_bp=2500)
    sales.sell(by=owner, on=MARKET_DAY, way=way, lines=[sales.Sold(1, line=thread.line, price=4667)])

    found = margins("way", *SEPTEMBER, ASKED)

    assert [(row.planned, row.planned_bp) for row in (*found.rows, found.total)] == [(1167, 2500), (1167, 2500)]


@pytest.mark.parametrize(("terms", "bills", "due"), [
    ({"fee_bp": 200, "fixed_day": 1}, 0, (200, BY_TERMS)), ({"fee_bp": 200, "fixed_day": 1}, 1, (200, PITCH_BILLED)),
    ({"fee_bp": 200, "fixed_day": 1}, 2, (0, BILLED)), ({"fee_bp": 200, "pitch_bp": 1000}, 0, (1200, BY_TERMS)),
    ({"fee_bp": 200, "pitch_bp": 1000}, 1, (200, PITCH_BILLED)), ({"fee_bp": 200}, 1, (0, BILLED)), ({}, 0, (0, "")),
])
def test_a_bill_stands_for_the_pitch_first_and_then_for_the_card_fee(terms, bills, due):
    """What is billed is not taken by the terms a second time."""
    assert fees_due(WayTerms(**terms), bills) == due


@pytest.mark.parametrize(("terms", "bills", "due"), [
    ({"fee_bp": 200, "fixed_day": 1}, 0, (0, BILLED)), ({"fee_bp": 200, "fixed_day": 1}, 1, (0, BILLED)),
    ({"fee_bp": 200, "pitch_bp": 1000}, 0, (1000, CARD_BILLED)), ({"fee_bp": 200, "bad_debt_bp": 50}, 1, (50, PITCH_BILLED)),
])
def test_what_was_kept_off_a_card_payout_is_the_card_fee_and_never_the_pitch(terms, bills, due):
    """The card fee is not taken by the terms a second time; a pitch by takings is still due."""
    assert fees_due(WayTerms(**terms), bills, 1) == due


def test_without_terms_only_bills_are_known():
    """Nothing is known of fees where a way has no terms, but that some were billed."""
    assert [fees_due(None, *of) for of in ((0, 0), (1, 0), (0, 1))] == [(0, ""), (0, BILLED), (0, BILLED)]


def test_a_second_bill_takes_the_card_fee_off_the_terms(owner):
    """The pitch and a card bill of 3.60: fees are all in selling."""
    made = market(owner)
    bill_pitch(owner, made.day, 360)
    found = margins("market_day", *SEPTEMBER, ASKED).total

    assert (found.selling, found.fees, found.actual) == (2560, 0, 6307)


def test_trade_sent_is_told_by_its_customer(owner):
    """What was sent on an order belongs to its customer and to no market."""
    stock = ready(20)
    sent(order_of(stock), stock, 5)
    (line,) = sold_lines(ASKED)
    row = margins("market_day", line.of.on, line.of.on, ASKED).rows[0]

    assert margins("customer", line.of.on, line.of.on, ASKED).rows[0].group == ("customer", line.of.customer)
    assert str(row.name) == "not at a market"


def test_pages_show_the_rows_their_sales_and_paper(owner, client_as):
    """From a row to its sales, and the same as paper."""
    made, client = market(owner), client_as(owner)
    asked = {"first": "2024-09-01", "last": "2024-09-30", "by": "way"}
    page = client.get(reverse("books:margins"), asked)
    sales_page = client.get(reverse("books:margin_sales"), {**asked, "of": f"way:{made.way.pk}"})

    assert [row.actual for row, _url, _fees in page.context["rows"]] == [6307]
    assert [row.actual for _line, row, _url, _fees in sales_page.context["rows"]] == [5819, 488]
    assert "pitch billed, other fees by the terms" in sales_page.content.decode()
    assert client.get(reverse("books:margins_paper"), asked).status_code == 200


def test_days_the_wrong_way_round_and_rows_that_are_not_there_are_said(owner, client_as):
    """A stretch that ends before it begins is refused; a row nobody knows is not found."""
    client, backwards = client_as(owner), {"first": "2024-09-30", "last": "2024-09-01", "by": "way"}

    assert "lies before the first" in client.get(reverse("books:margins"), backwards).content.decode()
    for name in ("margins_paper", "margin_sales", "market_days_paper"):
        assert client.get(reverse(f"books:{name}"), {**backwards, "of": "way:1"}).status_code == 422
    assert client.get(reverse("books:margin_sales"), {"of": "teasel:1"}).status_code == 404


def test_the_page_asks_as_often_whatever_was_sold(owner, client_as, django_assert_max_num_queries):
    """Ten more sales cost no further question."""
    made, client, url = market(owner), client_as(owner), reverse("books:margins")
    asked = {"first": "2024-09-01", "last": "2024-09-30", "by": "line"}
    with CaptureQueriesContext(connection) as before:
        client.get(url, asked)
    for _sale in range(10):
        sold = [sales.Sold(1, line=made.thread.line, price=1600)]
        sales.sell(by=owner, on=MARKET_DAY, way=made.way, stall_day=made.day, lines=sold)

    with django_assert_max_num_queries(len(before)):
        client.get(url, asked)


@pytest.mark.parametrize("back_on", [date(2024, 9, 14), MARKET_DAY])
def test_what_came_back_is_not_charged_and_is_charged_once_when_sold_again(owner, back_on):
    """Four of nine bunches come back: five of 27 of 124.00 are 22.96; three of the four sold again bear 13.78."""
    made = market(owner)
    take_back(by=owner, on=back_on, movement=Movement.objects.get(kind="sold"), bunches=4)
    sold = [sales.Sold(3, line=made.thread.line, price=1600)]
    sales.sell(by=owner, on=date(2024, 9, 21), way=made.way, lines=sold)
    five, _fresh, three = sold_lines(ASKED)

    assert (five.quantity, five.shelf) == (5, pytest.approx(2296 * 10**6, abs=10**6))
    assert (three.quantity, three.shelf) == (3, pytest.approx(1378 * 10**6, abs=10**6))


def test_what_comes_back_later_than_asked_is_still_gone(owner):
    """On the day before they came back all nine are sold, at 41.33."""
    market(owner)
    take_back(by=owner, on=date(2024, 9, 14), movement=Movement.objects.get(kind="sold"), bunches=9)
    before, after = sold_lines(date(2024, 9, 13))[0], sold_lines(date(2024, 9, 14))[0]

    assert (before.quantity, after.quantity, after.shelf) == (9, 0, 0)
