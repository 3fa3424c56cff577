"""Published space cost and overhead at normal capacity read back from plots and drying places; sources in examples.json.

A published hour is one hook for one day, a published square foot one m2.
"""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from ledger.books.queries.valuing import stock_value
from ledger.costing.actions import plan_overheads
from ledger.costing.queries import book, cost_sheet
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION
from ledger.sales.actions import Sold, sell
from tests.factories.daybook import YearOfSpaceFactory
from tests.factories.drying import BedFactory, PlaceFactory, PlantingFactory, PlotFactory
from tests.factories.growing import ClearingFactory
from tests.factories.pricing import StallFactory
from tests.factories.stock import LineFactory, run_of

from .records import CUT, DOWN, YEAR_END, cents, dried, hung, resting_in, spend

PLANTED, SOLD = date(2024, 3, 1), date(2024, 12, 20)



@pytest.fixture
def overhead(published, owner):
    """OH-01: 65 hooks for 100 days of a normal 7,500; 2,500 of a line there at no cost, 6,500 made, 6,700 sold."""
    inputs, line, place = published["OH-01"]["inputs"], LineFactory(stems=1), PlaceFactory(room=100)
    fixed, normal = inputs["fixed_overhead"], inputs["normal_capacity_hours"]
    YearOfSpaceFactory(space=place.cost_object, expected_cost=cents(fixed), normal_unit_days=normal)
    spend(fixed, place, kind="space")
    before = hung(inputs["opening_units"])
    made = hung(inputs["units_made"], inputs["variable_overhead"], place=place, room=65)
    for hanging, down in ((before, DOWN), (made, CUT + timedelta(days=100))):
        dried(hanging, sound=hanging.stems, on=down)
        run_of(line, hanging.stems, on=down, hanging=hanging)
    sell(by=owner, on=SOLD, way=StallFactory(), lines=[Sold(inputs["units_sold"], line, price=100)])
    return published["OH-01"]["expected"]


def test_oh_01_unused_normal_capacity_is_a_cost_of_the_year(overhead):
    """Ind AS 2 question bank, question 2: 6,500 of a normal 7,500 hours leave 200 of 1,500 unabsorbed."""
    assert resting_in("cost of the year") == cents(overhead["unabsorbed_fixed_expensed"])


def test_oh_01_overhead_in_stock_and_in_cost_of_sales(overhead):
    """First in first out 2,300 units are left with 1,380; 2,520 went with those sold, 2,720 was expensed in all."""
    valued = stock_value(YEAR_END, method="fifo").in_minor()

    assert valued["closing_cost"] == cents(overhead["overhead_in_closing_stock"])
    assert valued["sold"] == cents(overhead["overhead_in_cost_of_sales"])
    assert valued["sold"] + resting_in("cost of the year") == cents(overhead["total_expensed"])


def test_oh_01_overheads_on_the_expected_base(published, owner):
    """The same rate planned for the year, an hour's work costing 1.00: each unit bears 0.20 though only 6,500 were made."""
    inputs, expected, line = published["OH-01"]["inputs"], published["OH-01"]["expected"], LineFactory(stems=1)
    made = hung(inputs["units_made"], inputs["actual_hours"])
    dried(made, sound=made.stems)
    run_of(line, made.stems, hanging=made)
    fixed, normal = cents(inputs["fixed_overhead"]), cents(inputs["normal_capacity_hours"])
    plan_overheads(by=owner, on=CUT, year=2024, overheads=fixed, usual_idle_and_luck=0, usual_base=normal)
    (layer,) = [one for one in cost_sheet(line, YEAR_END).layers if one.shelf and not one.stock]

    assert layer.shelf == cents(expected["fixed_rate"]) * MILLION
    borne = layer.shelf * inputs["units_made"] // MILLION
    assert fixed - borne == cents(expected["unabsorbed_fixed_expensed"])


@pytest.fixture
def crop(published, owner):
    """GG-COSTING: half a square foot for eight weeks on a bench costing 1,000,000 a year, usually three quarters full."""
    inputs = published["GG-COSTING"]["inputs"]
    bench = PlotFactory(area_m2=Decimal(inputs["bench_sq_ft"]), kind="glass")
    normal = inputs["bench_sq_ft"] * inputs["share_filled_pct"] * inputs["weeks"] * 7
    YearOfSpaceFactory(space=bench.cost_object, expected_cost=cents(inputs["overhead"]), normal_unit_days=normal)
    spend(inputs["overhead"], bench, kind="space")
    crop = PlantingFactory(bed=BedFactory(plot=bench), on=PLANTED, area_m2=Decimal(inputs["crop_sq_ft"]))
    ClearingFactory(planting=crop, on=PLANTED + timedelta(weeks=inputs["crop_weeks"]))
    return crop


def test_gg_costing_a_crop_bears_its_square_foot_weeks(published, crop):
    """Greenhouse Grower: 1,000,000 over 40,000 x 0.75 x 52 is 0.641026, and the crop takes four of them: 2.564103."""
    expected = published["GG-COSTING"]["expected"]
    charged = total(book(YEAR_END).node(("planting", crop.pk)).carried)

    assert charged == 256_410_256
    assert abs(Decimal(charged) / 100 / MILLION / 4 - Decimal(expected["rate"])) < Decimal("0.000001")
    assert expected["crop_square_foot_weeks"] == 4


def test_gg_costing_no_crop_bears_what_is_never_filled(crop):
    """A crop alone in the house bears no more for it: what was usually filled and is not stood idle, a cost of the year."""
    places = book(YEAR_END).places
    idle = [at for at in book(YEAR_END).graph.standings() if at.event == ("idle", 2024)]

    assert total(places["cost of the year"]) == cents("1000000") * MILLION
    assert [total(at.amounts) for at in idle] == [cents("1000000") * MILLION - 256_410_256]
