"""Jobs and workshops that lie across a year's end, in the valuation of the stock, and in fresh or dry."""

from datetime import date

import pytest

from ledger.books.actions import close_year
from ledger.books.queries.bridge import bridge
from ledger.books.queries.earning import earned_in
from ledger.books.queries.fresh_or_dry import fresh_or_dry
from ledger.books.queries.net_sales import net_sales
from ledger.books.queries.tracing import Tracing
from ledger.books.queries.valuing import FLOWS, stock_value
from ledger.costing.queries import book
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.reckoning.valuation import METHODS
from ledger.sales import actions as sales
from ledger.sales.queries.income import income
from tests.books.wedding import ON, asked_about, grown, spend_on, take, wedding, workshop

DECEMBER, NEW_YEAR, SPRING = date(2024, 12, 20), date(2025, 1, 3), date(2025, 3, 31)


def over_new_year(owner, *, close=True):
    """Six bunches taken in December, the year closed, the job done in January, invoiced and one piece credited in March."""
    made = grown(owner)
    job = asked_about(owner, made)
    take(owner, made, job, bunches=6, on=DECEMBER)
    spend_on(owner, made, job, on=DECEMBER)
    if close:
        close_year(by=owner, on=ON)
    sales.do_job(by=owner, job=job, on=NEW_YEAR)
    issued = sales.invoice_job(by=owner, job=job, on=NEW_YEAR)
    sales.credit(by=owner, invoice=issued, on=SPRING, lines=[(issued.lines.first(), 8)], why="late")
    return made, job


@pytest.mark.parametrize("season", [2024, 2025])
@pytest.mark.parametrize("close", [True, False])
def test_taken_in_one_year_and_done_in_the_next_the_bridge_holds(owner, season, close):
    """Cost is of the year the bunches were taken in, income of the year the job was done in; nothing is unexplained in either."""
    over_new_year(owner, close=close)
    made = book(SPRING)
    tracing = Tracing(made, SPRING)
    found = bridge(earned_in(made, tracing, season, season), tracing, season, season)

    assert (found.income.unexplained, found.cost.unexplained, found.places.unexplained) == (0, 0, 0)
    assert found.income.end == {2024: 0, 2025: (13500 - 4333) * MILLION}[season]


def test_a_credit_in_a_later_year_comes_off_the_day_of_the_job(owner):
    """135.00 in January until the credit of March, 91.67 from then on; nothing in the year before."""
    over_new_year(owner)
    assert [net_sales(NEW_YEAR, on) for on in (NEW_YEAR, SPRING)] == [13500, 9167]
    assert net_sales(date(2024, 1, 1), ON) == 0 == sum(line.net for line in income(None, ON))


@pytest.mark.parametrize("method", METHODS)
def test_what_was_taken_for_work_leaves_the_stock_as_sold_by_every_method(owner, method):
    """Of 27 bunches nine are taken for a wedding and six for a workshop, three come back: both sides agree, 15 are left."""
    made = grown(owner)
    wedding(owner, made)
    workshop(owner, made)
    flows = stock_value(ON, method=method).flows

    assert sum(flows[name] for name in FLOWS[:4]) == sum(flows[name] for name in FLOWS[4:])
    assert to_minor(flows["sold"]) == 5511
    assert to_minor(flows["closing_cost"]) == 12400 - 5511


def test_fresh_or_dry_counts_what_a_wedding_took(owner):
    """40 of the 100 fresh stems of statice brought 51.52 less 8.00 of the wedding's own cost and 1.24 of its fees."""
    made = grown(owner)
    wedding(owner, made)
    _season, found = fresh_or_dry(2024, ON)
    fresh = {row.season.variety.species.name: row.season.fresh for row in found}["Statice"]
    dried = {row.season.variety.species.name: row.season.dried for row in found}["Strawflower"]

    assert (to_minor(fresh.net), to_minor(fresh.selling), to_minor(fresh.sold)) == (5152, 800 + 124, 40)
    assert (to_minor(dried.net), to_minor(dried.selling)) == (7098, 1273)
