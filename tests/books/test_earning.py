"""Bed earnings traced: earlier seasons' stock, runs of two plantings, perennials, contributions."""

from datetime import date
from decimal import Decimal

from ledger.books.queries.earning import bed_earnings
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.reckoning.sharing import MILLION
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from tests.books.test_closing import bunch_all, spend
from tests.thread import plant, spin_thread

ON = date(2025, 12, 31)
GATE = {"name": "Gate", "with_tax": True}


def gate_sale(owner, on, **sold):
    """So many sold at the gate on a day."""
    way = pricing.add_way(by=owner, **GATE)
    return sales.sell(by=owner, on=on, way=way, lines=[sales.Sold(**sold)])


def perennial(owner):
    """Ten m2 of yarrow planted in 2024 for 90.00, first productive in 2025, over three seasons."""
    first = plant(owner, name="Yarrow", expected=None)
    growing.undo_planting(by=owner, planting=first)
    planting = growing.plant(
        by=owner, on=date(2024, 4, 1), variety=first.variety, bed=first.bed, area_m2=Decimal(10), season=2025,
        perennial=True, productive_seasons=3,
    )
    spend(owner, planting, date(2024, 4, 1), 9000)
    return planting


def test_stock_of_an_earlier_season_earns_for_the_bed_it_came_from(owner):
    """Bunches of 2024 sold in 2025 are income of 2024's planting; 2025 has no row for it."""
    thread = spin_thread(owner)
    gate_sale(owner, date(2025, 3, 1), line=thread.line, quantity=10, price=800)
    (row,) = bed_earnings(2024, ON)

    assert (row.income, row.cost) == (8000 * MILLION, 12400 * MILLION)
    assert bed_earnings(2025, ON) == []


def test_a_run_from_two_plantings_belongs_to_both_by_stems(owner):
    """30 of 40 stems from one, 10 from the other: income, the bench's hour and its minutes part three to one."""
    plantings = [plant(owner, name=name) for name in ("Honesty", "Teasel")]
    place = drying.add_place(by=owner, name="Loft", unit="hooks", room=50)
    inputs = []
    for planting, stems in zip(plantings, (30, 10), strict=True):
        lot = growing.cut(by=owner, planting=planting, on=date(2024, 9, 1), stage="full", stems=stems)
        hanging = drying.hang(by=owner, lot=lot, on=date(2024, 9, 1), place=place, stems=stems)
        drying.take_down(by=owner, hanging=hanging, on=date(2024, 9, 2), stems=stems)
        inputs.append((hanging, stems))
    line = stock.add_line(by=owner, variety=plantings[0].variety, unit="bunch", stems=10)
    run = stock.make_run(by=owner, on=date(2024, 9, 3), inputs=inputs, outputs=[stock.Output(line=line, made=4)])
    worker = daybook.add_worker(by=owner, name="Juniper", paid=True)
    daybook.set_worker_rate(by=owner, worker=worker, on=date(2024, 1, 1), per_hour=1200)
    daybook.note_work(by=owner, worker=worker, on=run.on, minutes=60, task="bunching", spent_on=[(run.cost_object, 1)])
    gate_sale(owner, date(2024, 10, 1), line=line, quantity=4, price=200)
    rows = {row.stems: (row.income, row.cost, row.minutes) for row in bed_earnings(2024, ON)}

    assert rows == {30: (600 * MILLION, 900 * MILLION, 45), 10: (200 * MILLION, 300 * MILLION, 15)}


def test_contribution_leaves_bed_and_drying_room_out(owner):
    """Rent of 50.00 for the plot is cost of the planting and not of its contribution."""
    thread = spin_thread(owner)
    rent = daybook.BoughtLine("rent", CostKind.objects.get(code="space"), 5000, 0, [(thread.planting.bed.plot.cost_object, 1)])
    daybook.record_purchase(by=owner, on=date(2024, 6, 1), supplier="Landlord", lines=[rent])
    (row,) = bed_earnings(2024, ON)

    assert (row.cost, row.contribution, row.earned) == (17400 * MILLION, -12400 * MILLION, -17400 * MILLION)


def test_stems_before_the_first_productive_season_earn_in_their_own(owner):
    """A few cut in the planting's year are income of that year's row, with no cost but their own."""
    planting = perennial(owner)
    lot = growing.cut(by=owner, planting=planting, on=date(2024, 8, 1), stage="full", stems=20)
    gate_sale(owner, date(2024, 8, 1), lot=lot, quantity=20, price=50)
    (row,) = bed_earnings(2024, ON)

    assert (row.income, row.cost, row.stems) == (1000 * MILLION, 0, 20)


def test_each_season_of_a_perennial_bears_its_slice_and_none_is_shown_before_it_begins(owner):
    """90.00 over three seasons: 30.00 in 2025's row; 2024 gave nothing and 2026 has not begun."""
    planting = perennial(owner)
    place = drying.add_place(by=owner, name="Loft", unit="hooks", room=50)
    bunch_all(owner, planting, place, date(2025, 8, 1), 100)

    assert [row.cost for row in bed_earnings(2025, ON)] == [3000 * MILLION]
    assert bed_earnings(2024, ON) == bed_earnings(2026, ON) == []
