"""Made-up goods, rework and bunches bought in, from the records to the books."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.books.queries.earning import bed_earnings
from ledger.books.queries.proof import prove
from ledger.books.queries.valuing import stock_value
from ledger.costing.queries import book
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.valuation import METHODS
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from tests.thread import plant

ON = date(2024, 12, 31)
CUT, UP, DOWN, MADE = date(2024, 8, 1), date(2024, 8, 2), date(2024, 8, 20), date(2024, 9, 1)


def bed_of_stems(owner, name, cost, stems):
    """A planting that cost so much, cleared, all its stems hung and down sound on one day."""
    planting = plant(owner, name=name)
    bill = daybook.BoughtLine("plants", CostKind.objects.get(code="plants"), cost, 0, [(planting.cost_object, 1)])
    daybook.record_purchase(by=owner, on=CUT, supplier="Seed house", lines=[bill])
    lot = growing.cut(by=owner, planting=planting, on=CUT, stage="full", stems=stems)
    place = drying.add_place(by=owner, name=f"Loft for {name}", unit="hooks", room=50)
    hanging = drying.hang(by=owner, lot=lot, on=UP, place=place, stems=stems)
    drying.take_down(by=owner, hanging=hanging, on=DOWN, stems=stems)
    growing.clear(by=owner, planting=planting, on=date(2024, 10, 1))
    return planting, hanging


def worked(owner, thing, minutes, on, per_hour=1200):
    """So many minutes of a paid worker on one thing."""
    worker = daybook.add_worker(by=owner, name=f"Worker for {minutes}", paid=True)
    daybook.set_worker_rate(by=owner, worker=worker, on=date(2024, 1, 1), per_hour=per_hour)
    daybook.note_work(by=owner, worker=worker, on=on, minutes=minutes, task="bunching", spent_on=[(thing.cost_object, 1)])


def wreath_of_two_beds(owner):
    """Case 22: stems' cost 6.00 from bed A and 2.00 from bed B, materials 3.00, work 9.00; sold for 45.00 net, selling 3.00."""
    (one, first), (other, second) = bed_of_stems(owner, "Honesty", 600, 6), bed_of_stems(owner, "Teasel", 200, 20)
    ring = daybook.add_material(by=owner, name="willow ring", unit="pieces")
    bill = daybook.BoughtLine(
        "rings", CostKind.objects.get(code="craft"), 1200, 0, [(ring.cost_object, 1)], quantity=4
    )
    daybook.record_purchase(by=owner, on=CUT, supplier="Basket maker", lines=[bill])
    line = stock.add_line(by=owner, variety=None, name="Door wreath", unit="piece")
    run = stock.make_up(
        by=owner, on=MADE, outputs=[stock.Output(line=line, made=1)], stems=[(first, 6), (second, 20)], materials=[(ring, 1)]
    )
    worked(owner, run, 45, MADE)
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    sale = sales.sell(by=owner, on=date(2024, 9, 8), way=way, lines=[sales.Sold(line=line, quantity=1, price=4500)])
    worked(owner, sale, 15, date(2024, 9, 8))
    return one, other, run


def test_a_wreath_earns_for_its_beds_by_what_their_stems_cost(owner):
    """Case 22: 45.00 less 15.00 of materials, work and selling leave 30.00: 22.50 and 7.50, less the stems' own cost."""
    one, other, _run = wreath_of_two_beds(owner)
    earned = {row.planting: row.earned for row in bed_earnings(2024, ON)}

    assert earned == {one: (2250 - 600) * MILLION, other: (750 - 200) * MILLION}


def test_a_wreaths_cost_opens_to_its_stems_materials_and_work(owner):
    """20.00 in all: 8.00 stems, 3.00 the ring at moving average, 9.00 work; three rings lie there at 9.00."""
    _one, _other, run = wreath_of_two_beds(owner)
    made = book(ON)
    node = made.node(("run", run.pk))

    assert sorted(total(entry.amounts) // MILLION for entry in node.direct) == [300, 900]
    assert total(node.carried) == 2000 * MILLION
    assert total(made.places["materials"]) == 900 * MILLION


def two_batches(owner):
    """Ten old tens at 1.00 and ten new ones at 3.00 of one line, by two beds of one variety."""
    old_bed, first = bed_of_stems(owner, "Honesty", 1000, 100)
    line = stock.add_line(by=owner, variety=old_bed.variety, unit="bunch", stems=10)
    old = stock.make_run(by=owner, on=date(2024, 8, 25), inputs=[(first, 100)], outputs=[stock.Output(line=line, made=10)])
    _bed, second = bed_of_stems(owner, "Teasel", 3000, 100)
    new = stock.make_run(by=owner, on=date(2024, 8, 26), inputs=[(second, 100)], outputs=[stock.Output(line=line, made=10)])
    return line, old.batches.get(), new.batches.get()


@pytest.mark.parametrize(
    ("method", "wreath", "left"), [("traced", 1500, 2500), ("fifo", 500, 3500), ("moving-average", 1000, 3000)]
)
def test_a_wreath_is_valued_by_the_method(owner, method, wreath, left):
    """Case 12: a wreath takes 5 of the new tens: 15.00 traced, 5.00 first in first out, 10.00 on average; either way 40.00."""
    line, _old, new = two_batches(owner)
    made_up = stock.add_line(by=owner, variety=None, name="Door wreath", unit="piece")
    stock.make_up(by=owner, on=MADE, outputs=[stock.Output(line=made_up, made=1)], bunches=[(new, None, 5)])
    valued = stock_value(ON, method=method)

    assert {one.line: one.cost for one in valued.lines} == {made_up: wreath * MILLION, line: left * MILLION}
    assert valued.flows["closing_cost"] == 4000 * MILLION


@pytest.mark.parametrize("method", METHODS)
def test_tens_split_into_fives_keep_their_cost_by_every_method(owner, method):
    """Two tens split and two fives banded again the same day: 40.00 stay 40.00, and the proof holds."""
    line, old, _new = two_batches(owner)
    fives = stock.add_line(by=owner, variety=line.variety, unit="bunch", stems=5)
    split = stock.rework(by=owner, on=MADE, bunches=[(old, None, 2)], outputs=[stock.Output(line=fives, made=4)])
    stock.rework(
        by=owner, on=MADE, bunches=[(split.batches.get(), None, 2)], outputs=[stock.Output(line=line, made=1)]
    )

    assert stock_value(ON, method=method).flows["closing_cost"] == 4000 * MILLION
    assert not prove(ON).differences


def test_bunches_bought_in_are_stock_at_what_they_cost(owner):
    """Ten bought in for 25.00: valued at it, counted as bought, and no bed's earnings."""
    line = stock.add_line(by=owner, variety=None, name="Bought eucalyptus", unit="bunch", stems=5)
    stock.buy_in(
        by=owner, on=MADE, supplier="Wholesale hall", outputs=[stock.Output(line=line, made=10)], net=2500, tax=0,
        kind=CostKind.objects.get(code="bought"),
    )
    valued = stock_value(ON)

    assert (valued.flows["bought"], valued.flows["closing_cost"]) == (2500 * MILLION, 2500 * MILLION)
    assert bed_earnings(2024, ON) == []


def test_mixed_bunches_of_dear_and_cheap_stems_earn_by_cost(owner):
    """Two kinds of stems at 6.00 and 2.00 in one mixed bunch sold at 12.00: income 9.00 and 3.00."""
    (one, first), (other, second) = bed_of_stems(owner, "Honesty", 600, 5), bed_of_stems(owner, "Teasel", 200, 5)
    line = stock.add_line(by=owner, variety=None, name="Meadow mix", unit="bunch", stems=10)
    stock.make_run(by=owner, on=MADE, inputs=[(first, 5), (second, 5)], outputs=[stock.Output(line=line, made=1)])
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    sales.sell(by=owner, on=date(2024, 9, 8), way=way, lines=[sales.Sold(line=line, quantity=1, price=1200)])

    assert {row.planting: row.income for row in bed_earnings(2024, ON)} == {one: 900 * MILLION, other: 300 * MILLION}


def test_gathered_stems_have_no_bed_and_earn_all_the_same(owner):
    """Gathered on a verge: no area and no weeks, so nothing a square metre, and still an income of its own."""
    variety = plant(owner, name="Honesty").variety
    planting = growing.plant(by=owner, on=CUT, variety=variety, season=2024, origin="gathered")
    lot = growing.cut(by=owner, planting=planting, on=CUT, stage="seed", stems=20)
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    sales.sell(by=owner, on=CUT, way=way, lines=[sales.Sold(lot=lot, quantity=20, price=50)])
    growing.clear(by=owner, planting=planting, on=date(2024, 9, 1))
    row = next(row for row in bed_earnings(2024, ON) if row.planting == planting)

    assert (row.income, row.m2, row.per_m2_week) == (1000 * MILLION, Decimal(0), None)
