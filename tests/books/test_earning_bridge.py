"""The bridge from bed earnings to the year, worked by hand."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.books.actions import close_year
from ledger.books.queries.report import Question, report
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.reckoning.sharing import MILLION
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from ledger.stock.models import Run
from tests.books.test_closing import bunch_all, spend
from tests.thread import plant

END_OF_2025 = date(2025, 12, 31)


@pytest.fixture
def june_year(holding):
    """The books' year ends with June; seasons are calendar years."""
    holding.year_end_month, holding.year_end_day = 6, 30
    holding.save()


def bill(owner, on, amount, record, kind="inputs", **given):
    """So much spent on one record on a day."""
    line = daybook.BoughtLine("bill", CostKind.objects.get(code=kind), amount, 0, [(record.cost_object, 1)], **given)
    daybook.record_purchase(by=owner, on=on, supplier="Merchant", lines=[line])


def season_of_2024(owner, gate):
    """100.00 for ten bunches in June 2024: two sold then at 30.00, five in September, one in July 2025; two are left.

    Cleared in June. An hour at 12.00 on their run in August 2024, a bill of 8.00 on it in July 2025.
    """
    planting = plant(owner)
    spend(owner, planting, date(2024, 4, 1), 10000)
    place = drying.add_place(by=owner, name="Loft", unit="hooks", room=50)
    line = bunch_all(owner, planting, place, date(2024, 6, 1), 10)
    growing.clear(by=owner, planting=planting, on=date(2024, 6, 10))
    sell(owner, gate, date(2024, 6, 15), quantity=2, line=line, price=3000)
    close_year(by=owner, on=date(2024, 6, 30))
    run = Run.objects.get()
    worker = daybook.add_worker(by=owner, name="Juniper", paid=True)
    daybook.set_worker_rate(by=owner, worker=worker, on=date(2024, 7, 1), per_hour=1200)
    daybook.note_work(by=owner, worker=worker, on=date(2024, 8, 1), minutes=60, task="bunching", spent_on=[(run.cost_object, 1)])
    august = {"first_day": date(2024, 8, 1), "last_day": date(2024, 8, 31)}
    daybook.record_pay(by=owner, worker=worker, on=date(2024, 8, 31), amount=5000, **august)
    sell(owner, gate, date(2024, 9, 1), quantity=5, line=line, price=3000)
    sell(owner, gate, date(2025, 7, 15), quantity=1, line=line, price=3000)
    bill(owner, date(2025, 7, 10), 800, run)


def sell(owner, gate, on, **sold):
    """One sale at the gate."""
    sales.sell(by=owner, on=on, way=gate, lines=[sales.Sold(**sold)])


def all_else(owner, gate, holding):
    """Of the year to June 2025: a planting of 2025, bunches bought in, overheads, a material, an empty plot, an idle stall."""
    garden = growing.add_plot(by=owner, name="Garden", kind="open", area_m2=Decimal(100))
    bed = growing.add_bed(by=owner, plot=garden, name="1", area_m2=Decimal(10))
    teasel = growing.add_variety(by=owner, species=growing.add_species(by=owner, name="Teasel"), name="Wild", colour="brown")
    later = growing.plant(by=owner, on=date(2025, 4, 1), variety=teasel, bed=bed, area_m2=Decimal(10), season=2025)
    bill(owner, date(2025, 4, 1), 4000, later)
    lot = growing.cut(by=owner, planting=later, on=date(2025, 6, 1), stage="full", stems=50)
    sell(owner, gate, date(2025, 6, 1), quantity=50, lot=lot, price=50)
    line = stock.add_line(by=owner, variety=None, name="Bought eucalyptus", unit="bunch", stems=5)
    stock.buy_in(
        by=owner, on=date(2024, 10, 1), supplier="Hall", outputs=[stock.Output(line=line, made=10)], net=2500, tax=0,
        kind=CostKind.objects.get(code="bought"),
    )
    sell(owner, gate, date(2024, 11, 1), quantity=4, line=line, price=500)
    bill(owner, date(2024, 12, 1), 7000, holding)
    ring = daybook.add_material(by=owner, name="willow ring", unit="pieces")
    bill(owner, date(2025, 2, 1), 1200, ring, "craft", quantity=4)
    plot = growing.add_plot(by=owner, name="Far plot", kind="open", area_m2=Decimal(100))
    bill(owner, date(2025, 3, 1), 3000, plot, "space")
    stall = pricing.add_way(by=owner, name="Stall", with_tax=True)
    bill(owner, date(2024, 10, 5), 900, sales.open_stall_day(by=owner, on=date(2024, 10, 5), name="Fair", way=stall))


@pytest.fixture
def two_years(owner, holding, june_year):
    """Both, in order of their days."""
    gate = pricing.add_way(by=owner, name="Gate", with_tax=True)
    season_of_2024(owner, gate)
    all_else(owner, gate, holding)


def steps(bridge):
    """What each step comes to in minor units, nil left out."""
    return {step.what: step.amount // MILLION for step in bridge.steps if step.amount}


def test_income_of_a_season_is_bridged_to_the_sales_of_its_year(two_years):
    """240.00 on the page; 60.00 sold before July 2024, 30.00 after June 2025; 25.00 of 2025, 20.00 bought in: 195.00."""
    found = report(Question(2024), END_OF_2025).bridge

    assert (found.first, found.last, found.running) == (date(2024, 7, 1), date(2025, 6, 30), False)
    assert steps(found.income) == {
        "sold before the year": -6000, "sold after the year": -3000, "sold of other plantings": 2500, "sold of bought in": 2000,
    }
    assert (found.income.start, found.income.end) == (24000 * MILLION, 19500 * MILLION)
    assert found.income.unexplained == 0


def test_cost_of_a_season_is_bridged_to_all_that_was_spent_in_its_year(two_years):
    """120.00 on the page; 100.00 before, 8.00 after; pay 50.00 and bills 186.00 make 236.00 in the year.

    12.00 on the season, 40.00 on 2025's planting, 25.00 bought in, 30.00 an empty plot, 12.00 rings in store,
    70.00 overheads, 38.00 paid and not booked, 9.00 on a stall that sold nothing.
    """
    found = report(Question(2024), END_OF_2025).bridge

    assert steps(found.cost) == {
        "spent before the year": -10000, "spent after the year": -800, "spent on other plantings": 4000,
        "spent on bought in": 2500, "idle space": 3000, "materials": 1200, "overheads": 7000, "paid, not booked": 3800,
        "sold nothing": 900,
    }
    assert (found.cost.start, found.cost.end) == (12000 * MILLION, 23600 * MILLION)
    assert found.cost.unexplained == 0


def test_what_was_spent_is_where_it_rests_and_earlier_years_are_put_right(two_years):
    """The hour makes ten bunches 1.20 dearer each: two sold in the closed year put 2.40 right, five sold 56.00, three held.

    Boxed: ten at 10.00 less two were 80.00 at the close; three at 11.20 and six bought in at 2.50 are 48.60: 31.40 less.
    Sold: 56.00, 10.00 bought in, the stall's 9.00; 40.00 of the planting of 2025 grows or was sold.
    """
    found = report(Question(2024), END_OF_2025).bridge
    rests = steps(found.places)

    assert rests["earlier years put right"] == 240
    assert rests["boxed"] == 4860 - 8000
    assert rests["cost of sales"] + rests.get("growing", 0) == 5600 + 1000 + 900 + 4000
    assert (found.places.end, found.places.unexplained) == (23600 * MILLION, 0)


def test_a_running_year_is_bridged_up_to_the_day(two_years):
    """At the end of 2024: 150.00 and 20.00 sold since July; nothing is left unexplained on the way."""
    found = report(Question(2024), date(2024, 12, 31)).bridge

    assert (found.last, found.running) == (date(2024, 12, 31), True)
    assert found.income.end == 17000 * MILLION
    assert (found.income.unexplained, found.cost.unexplained, found.places.unexplained) == (0, 0, 0)


def test_a_season_whose_year_has_not_begun_has_nothing_to_bridge(two_years):
    """Season 2025 lies in the year from July 2025; in May 2025 all sums of that year are nil."""
    found = report(Question(2025), date(2025, 5, 1)).bridge

    assert (found.income.end, found.cost.end, found.places.end) == (0, 0, 0)
    assert (found.income.unexplained, found.cost.unexplained) == (0, 0)
