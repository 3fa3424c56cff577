"""Break-even of published budgets, through the program's own records.

Sunflowers, per acre, Texas Agricultural Extension Service B-1241 (1999), which
prints its break-even price on variable cost, 6.31 the hundredweight, and on
total cost, 10.11, for 15 hundredweight at 10.00; its labour is printed a cent
low, and its totals hold with 18.69. Two lavender years of Colorado State
University's enterprise budget, per row: takings of 460.00, which are 115
bundles at 4.00, and 230 bundles at 4.00. A hundredweight or bundle is one unit of a line; the whole budget is spent on
the planting it was cut from. How many must sell is derived from their figures.
"""

from datetime import date

import pytest

from ledger.costing.queries import cost_sheet
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.pricing.queries.what_if import Asked, ground_of, what_if
from ledger.reckoning.sharing import to_minor
from ledger.stock import actions as stock
from tests.factories.drying import PlantingFactory
from tests.factories.pricing import TradeFactory

from .records import CUT, MADE, YEAR_END, cents, spend

PREHARVEST = {
    "Fertiliser N": "6.90", "Fertiliser application": "3.00", "Herbicide": "10.00", "Seed": "4.08", "Insecticide 1": "7.00",
    "Insecticide 2": "10.15", "Fuel and lube": "9.84", "Repairs": "3.62",
}
LABOUR, INTEREST, HARVEST = "18.69", "2.67", {"Custom harvest": "15.00", "Custom hauling": "3.75"}
FIXED = {"Machinery and equipment": "36.95", "Land": "20.00"}
VARIABLE = [*PREHARVEST.values(), LABOUR, INTEREST, *HARVEST.values()]


def made_of(owner, costs, units):
    """A line of so many units, one stem each, cut dry from a planting on which these were spent."""
    planting = PlantingFactory()
    for cost in costs:
        spend(cost, planting)
    lot = growing.cut(by=owner, planting=planting, on=CUT, stage="seed", stems=units, dry=True)
    growing.clear(by=owner, planting=planting, on=date(2024, 10, 1))
    line = stock.add_line(by=owner, variety=planting.variety, stems=1)
    stock.make_run(by=owner, on=MADE, inputs=[(lot.partings.get(), units)], outputs=[stock.Output(line=line, made=units)])
    return line


def at(owner, line, price):
    """What a line leaves at a printed price, net, by a way that costs nothing."""
    way = TradeFactory()
    pricing.set_price(by=owner, way=way, line=line, on=MADE, amount=cents(price))
    return what_if(ground_of(line, way, YEAR_END), Asked()).now


def test_published_lines_add_up_to_the_published_totals():
    """73.28 and 2.67 and 18.75 are 94.70; with 56.95 fixed, 151.65."""
    assert sum(map(cents, VARIABLE)) == cents("94.70")
    assert sum(map(cents, [*VARIABLE, *FIXED.values()])) == cents("151.65")


@pytest.mark.parametrize(("costs", "price"), [(VARIABLE, "6.31"), ([*VARIABLE, *FIXED.values()], "10.11")])
def test_sunflower_break_even_price_is_the_unit_cost(owner, costs, price):
    """94.70 over 15 is 6.3133, 151.65 over 15 is 10.11: what one unit of the line costs to the shelf."""
    assert to_minor(cost_sheet(made_of(owner, costs, 15), YEAR_END).shelf_cost) == cents(price)


def test_sunflower_at_its_published_price_covers_variable_cost_and_not_the_whole(owner):
    """At 10.00 ten of 15 pay for 94.70, leaving 55.30 on all; 151.65 takes 16 of 15 and loses 1.65, as published."""
    variable = at(owner, made_of(owner, VARIABLE, 15), "10.00")
    whole = at(owner, made_of(owner, [*VARIABLE, *FIXED.values()], 15), "10.00")

    assert (variable.must_sell, to_minor(15 * variable.left.margin)) == (10, cents("55.30"))
    assert (whole.must_sell, whole.made, to_minor(15 * whole.left.margin)) == (16, 15, cents("-1.65"))


def test_at_the_break_even_price_all_of_them_must_sell(owner):
    """At 10.11 all 15 just pay for all of it, and a cent less takes one more than there are."""
    line = made_of(owner, [*VARIABLE, *FIXED.values()], 15)

    assert at(owner, line, "10.11").must_sell == 15
    assert at(owner, line, "10.10").must_sell == 16


@pytest.mark.parametrize(("cost", "bundles", "net", "must_sell"), [
    ("469.30", 115, "-9.30", 118), ("562.25", 230, "357.75", 141),
])
def test_lavender_bundles_that_pay_for_the_row(owner, cost, bundles, net, must_sell):
    """At 4.00 a bundle: the first year's 115 leave 9.30 short, the second's 230 leave 357.75, as published."""
    now = at(owner, made_of(owner, [cost], bundles), "4.00")

    assert abs(now.left.margin * bundles / 10**6 - cents(net)) < 1
    assert now.must_sell == must_sell
