"""Space and overhead against published answers; sources in examples.json."""

from datetime import date
from decimal import Decimal

from ledger.reckoning.sharing import MILLION, to_minor
from ledger.reckoning.space import charge_space, space_rate
from ledger.reckoning.valuation import StockMovement, value


def cents(major):
    """A printed amount in whole cents."""
    return int(Decimal(major) * 100)


def test_oh_01_fixed_overhead_at_normal_hours(published):
    """1,500 over a normal 7,500 hours: 6,500 worked bear 1,300, and 200 is a cost of the year."""
    inputs, expected = published["OH-01"]["inputs"], published["OH-01"]["expected"]
    fixed, normal, hours = cents(inputs["fixed_overhead"]), inputs["normal_capacity_hours"], inputs["actual_hours"]
    charges, idle = charge_space(fixed, normal=normal, uses=[hours])
    assert (charges, idle) == ([130_000], cents(expected["unabsorbed_fixed_expensed"]))
    assert space_rate(fixed, normal=normal, actual=hours) == cents(expected["fixed_rate"]) * MILLION
    variable = cents(inputs["variable_overhead"])
    assert space_rate(variable, normal=hours, actual=hours) == cents(expected["variable_rate"]) * MILLION


def test_oh_01_overhead_left_in_stock(published):
    """First in first out, 2,300 of 6,500 made are left with 1,380; 2,720 is expensed in all."""
    inputs, expected = published["OH-01"]["inputs"], published["OH-01"]["expected"]
    made, idle = 390_000, 20_000
    movements = [
        StockMovement(date(2024, 1, 1), 1, 1, inputs["opening_units"], "made"),
        StockMovement(date(2024, 2, 1), 2, 1, inputs["units_made"], "made", made * MILLION),
        StockMovement(date(2024, 3, 1), 3, 1, -inputs["units_sold"], "sold"),
    ]
    worth = value("fifo", movements, on=date(2024, 3, 1))
    sold = to_minor(worth.sold)
    assert worth.closing_quantity == expected["closing_units"]
    assert to_minor(worth.closing_cost) == cents(expected["overhead_in_closing_stock"])
    assert (sold, sold + idle) == (cents(expected["overhead_in_cost_of_sales"]), cents(expected["total_expensed"]))


def test_gg_costing_square_foot_weeks(published):
    """1,000,000 over 1,560,000 square-foot-weeks is 0.641026, published as 0.64."""
    inputs, expected = published["GG-COSTING"]["inputs"], published["GG-COSTING"]["expected"]
    normal = inputs["bench_sq_ft"] * inputs["share_filled_pct"] * inputs["weeks"] // 100
    assert normal == expected["square_foot_weeks"]
    rate = space_rate(cents(inputs["overhead"]), normal=normal, actual=0)
    assert rate == 64_102_564
    assert cents(expected["rate_as_published"]) == to_minor(rate)


def test_gg_costing_crop_bears_more_than_the_rounded_rate_says(published):
    """Half a square foot for eight weeks bears 2.564103; four times 0.64 is 0.004103 short."""
    inputs, expected = published["GG-COSTING"]["inputs"], published["GG-COSTING"]["expected"]
    weeks = int(Decimal(inputs["crop_sq_ft"]) * inputs["crop_weeks"])
    assert weeks == expected["crop_square_foot_weeks"]
    cost = cents(inputs["overhead"]) * MILLION
    (charge,), _ = charge_space(cost, normal=expected["square_foot_weeks"], uses=[weeks])
    assert charge == 256_410_256
    assert charge - weeks * cents(expected["rate_as_published"]) * MILLION == 410_256
