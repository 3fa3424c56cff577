"""Income shared by hand: a mixed bunch from three beds, a wreath from seven plantings; a planting in two beds."""

from datetime import date
from decimal import Decimal

from ledger.books.queries.earning import bed_earnings
from ledger.books.queries.groups import grouped
from ledger.books.queries.tracing import Tracing
from ledger.costing.queries import book
from ledger.daybook import actions as daybook
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.sales import actions as sales
from ledger.stock import actions as stock
from tests.books.test_made_up import CUT, MADE, ON, bed_of_stems, worked
from tests.thread import plant

SOLD = date(2024, 9, 8)


def sold_at(owner, line, price, quantity=1):
    """So many sold at the gate for a price each."""
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    return sales.sell(by=owner, on=SOLD, way=way, lines=[sales.Sold(line=line, quantity=quantity, price=price)])


def test_a_mixed_bunch_from_three_beds_earns_for_each_by_its_stems_cost(owner):
    """Honesty 4.00 for 8, teasel 3.00 for 3, poppy 1.00 for 4; a bunch of 4, 3 and 3 carries 2.00 + 3.00 + 0.75 = 5.75.

    Sold at 11.50 net it brings each bed twice what its stems had cost: 4.00, 6.00 and 1.50. Four stems of honesty
    (2.00) and one of poppy (0.25) are left loose.
    """
    beds = [bed_of_stems(owner, name, cost, stems) for name, cost, stems in (
        ("Honesty", 400, 8), ("Teasel", 300, 3), ("Poppy", 100, 4),
    )]
    line = stock.add_line(by=owner, variety=None, name="Meadow mix", unit="bunch", stems=10)
    inputs = [(hanging, stems) for (_, hanging), stems in zip(beds, (4, 3, 3), strict=True)]
    stock.make_run(by=owner, on=MADE, inputs=inputs, outputs=[stock.Output(line=line, made=1)])
    sold_at(owner, line, 1150)
    rows = {row.planting: row for row in bed_earnings(2024, ON)}

    assert [to_minor(rows[planting].income) for planting, _ in beds] == [400, 600, 150]
    assert [to_minor(rows[planting].unsold) for planting, _ in beds] == [200, 0, 25]


def wreath_of_seven(owner):
    """Stems of seven beds at 1.00 to 7.00, a ring at 3.00, 45 minutes at 12.00 an hour; sold at 60.00 in 15 minutes more."""
    beds = [bed_of_stems(owner, f"Species {number}", number * 100, 10) for number in range(1, 8)]
    ring = daybook.add_material(by=owner, name="willow ring", unit="pieces")
    bill = daybook.BoughtLine("rings", CostKind.objects.get(code="craft"), 1200, 0, [(ring.cost_object, 1)], quantity=4)
    daybook.record_purchase(by=owner, on=CUT, supplier="Basket maker", lines=[bill])
    line = stock.add_line(by=owner, variety=None, name="Door wreath", unit="piece")
    run = stock.make_up(
        by=owner, on=MADE, outputs=[stock.Output(line=line, made=1)], stems=[(hanging, 10) for _, hanging in beds],
        materials=[(ring, 1)],
    )
    worked(owner, run, 45, MADE)
    worked(owner, sold_at(owner, line, 6000), 15, SOLD)
    return [planting for planting, _ in beds]


def test_a_wreath_earns_for_seven_plantings_after_all_else_in_it(owner):
    """60.00 less the ring's 3.00, work 9.00 and selling 3.00 leave 45.00, shared as 1 to 7 of 28 by the stems' cost.

    45.00 x n / 28: 1.607, 3.214, 4.821, 6.429, 8.036, 9.643, 11.25; each then less its stems' own cost of n.
    """
    plantings = wreath_of_seven(owner)
    rows = {row.planting: row for row in bed_earnings(2024, ON)}
    made_up = [to_minor(rows[one].figures.income_of["made_up"]) for one in plantings]

    assert made_up == [161, 321, 482, 643, 804, 964, 1125]
    assert sum(rows[one].income for one in plantings) == 4500 * MILLION
    assert [to_minor(rows[one].cost) for one in plantings] == [100, 200, 300, 400, 500, 600, 700]
    assert sum(rows[one].figures.taken_off for one in plantings) == 1500 * MILLION


def test_what_is_taken_off_made_up_goods_leaves_the_tracing_complete(owner):
    """All 60.00 and all 43.00 spent on it stay traced; only the page shows both without the 15.00."""
    wreath_of_seven(owner)
    traced = Tracing(book(ON), ON).by_source.values()

    assert sum(one.income for one in traced) == 6000 * MILLION
    assert sum(total(one.costs) for one in traced) == (2800 + 300 + 900 + 300) * MILLION


def test_an_unsold_wreath_takes_nothing_off(owner):
    """Two made of stems at 6.00 and 90 minutes' work at 12.00, one sold at 30.00: half the work, 9.00, comes off: 21.00."""
    planting, hanging = bed_of_stems(owner, "Honesty", 600, 6)
    line = stock.add_line(by=owner, variety=None, name="Door wreath", unit="piece")
    run = stock.make_up(by=owner, on=MADE, outputs=[stock.Output(line=line, made=2)], stems=[(hanging, 6)], materials=[])
    worked(owner, run, 90, MADE)
    sold_at(owner, line, 3000)
    (row,) = bed_earnings(2024, ON)

    assert (row.planting, row.income, row.cost) == (planting, 2100 * MILLION, (600 + 900) * MILLION)
    assert row.unsold == (300 + 900) * MILLION


def in_two_beds(owner):
    """Raised in trays for 90.00; 6 m2 in one bed for 40 days and 4 m2 in another for 30; 100 stems sold fresh at 1.00."""
    first = plant(owner, name="Honesty")
    growing.undo_planting(by=owner, planting=first)
    beds = [first.bed, growing.add_bed(by=owner, plot=first.bed.plot, name="2", area_m2=Decimal(10))]
    planting = growing.plant(by=owner, on=date(2024, 4, 1), variety=first.variety, season=2024, origin="trays", plants=200)
    bill = daybook.BoughtLine("seed", CostKind.objects.get(code="plants"), 9000, 0, [(planting.cost_object, 1)])
    daybook.record_purchase(by=owner, on=date(2024, 4, 1), supplier="Seed house", lines=[bill])
    for bed, on, area in zip(beds, (date(2024, 5, 1), date(2024, 5, 11)), (6, 4), strict=True):
        growing.plant_out(by=owner, planting=planting, on=on, bed=bed, area_m2=Decimal(area), plants=50)
    lot = growing.cut(by=owner, planting=planting, on=date(2024, 6, 1), stage="full", stems=100)
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    sales.sell(by=owner, on=date(2024, 6, 1), way=way, lines=[sales.Sold(lot=lot, quantity=100, price=100)])
    growing.clear(by=owner, planting=planting, on=date(2024, 6, 10))
    return beds


def test_a_planting_in_two_beds_is_shared_by_m2_days(owner):
    """6 x 40 = 240 and 4 x 30 = 120 m2-days: income 66.67 and 33.33 of 100.00, cost 60.00 and 30.00 of 90.00."""
    beds = in_two_beds(owner)
    groups = {group.name: group.figures for group in grouped(bed_earnings(2024, ON), "bed")}
    one, other = (groups[str(bed)] for bed in beds)

    assert (to_minor(one.income), to_minor(other.income)) == (6667, 3333)
    assert (to_minor(one.cost), to_minor(other.cost)) == (6000, 3000)
    assert (one.m2_days, other.m2_days) == (24000, 12000)
    assert one.area_days == {5: 31 * 600, 6: 9 * 600}


def test_its_plot_has_all_of_it(owner):
    """Both beds lie on one plot: 100.00, 90.00 and all its stems and m2-days."""
    in_two_beds(owner)
    (group,) = grouped(bed_earnings(2024, ON), "plot")

    assert (group.figures.income, group.figures.cost) == (10000 * MILLION, 9000 * MILLION)
    assert (group.figures.m2_days, group.figures.stems, group.figures.area) == (36000, 100, 1000)
