"""Published joint-cost answers read back from bunching runs; sources in examples.json.

A published process is one hanging with the joint cost spent on it, its
products are the lines of one run. Their unit is stems: a product's "cups" or
"barrels" are stems, a pound or quart of so many cups a bunch of so many stems.
"""

from decimal import Decimal

from ledger.stock.actions import Output, make_run
from tests.factories.drying import owner
from tests.factories.stock import LineFactory

from .records import MADE, cents, costs_of, dried, hung


def graded(cost, outputs, *, lost=0):
    """What each product bears of a joint cost: one hanging, all sound, made into these in one run."""
    stems = sum(output.made * output.line.stems for output in outputs)
    hanging = hung(stems + lost, cost)
    dried(hanging, sound=hanging.stems)
    return costs_of(make_run(by=owner(), on=MADE, inputs=[(hanging, stems + lost)], outputs=outputs, lost=lost))


def products(inputs, values):
    """The two products of JC-01: pounds of 2 cups and quarts of 4, each with its value of one."""
    return [
        Output(LineFactory(stems=one["cups"] // one["split_off_qty"]), one["split_off_qty"], unit_value=value)
        for one, value in zip(inputs["products"], values, strict=True)
    ]


def test_jc_01_by_cups(published, owner):
    """Cost Accounting: A Managerial Emphasis, 14th ed., problem 16-30: by cups 7,920 and 23,760."""
    inputs, expected = published["JC-01"]["inputs"], published["JC-01"]["expected"]["physical_measure"]
    outputs = products(inputs, [None, None])

    assert [output.made * output.line.stems for output in outputs] == [one["cups"] for one in inputs["products"]]
    assert graded(inputs["joint_cost"], outputs) == [cents(expected["P"]), cents(expected["Q"])]


def test_jc_01_by_value_at_the_split(published, owner):
    """The same by sales value at the split, 2.20 and 1.20 each: 17,424 and 14,256."""
    inputs, expected = published["JC-01"]["inputs"], published["JC-01"]["expected"]["sales_value_at_split_off"]
    outputs = products(inputs, [cents(one["split_off_price"]) for one in inputs["products"]])

    assert graded(inputs["joint_cost"], outputs) == [cents(expected["P"]), cents(expected["Q"])]


def test_jc_01_by_later_value_less_later_cost(published, owner):
    """By value less later cost 19,800 and 11,880, from its own inputs; the printed 8,868 and 22,812 is a slip."""
    inputs, expected = published["JC-01"]["inputs"], published["JC-01"]["expected"]["net_realisable_value"]
    outputs = products(inputs, [_later_value(one) for one in inputs["products"]])

    assert graded(inputs["joint_cost"], outputs) == [cents(expected["P"]), cents(expected["Q"])]


def _later_value(product):
    """What one unit at the split will fetch in the end, less the cost still to come."""
    in_the_end = Decimal(product["final_price"]) * product["final_qty"] / product["split_off_qty"]
    return cents(in_the_end - Decimal(product["separable_cost_per_split_off_unit"]))


def test_jc_03_unsaleable_output_bears_nothing(published, owner):
    """A solved exam question: 450 at 2.00 and 375 of 450 at 0.80 bear 750 and 250; the 75 are lost in the run."""
    inputs, expected = published["JC-03"]["inputs"], published["JC-03"]["expected"]["allocation"]
    cost = sum(Decimal(part) for part in inputs["joint_cost"].values())
    outputs = [Output(LineFactory(stems=1), one["saleable"], unit_value=cents(one["price"])) for one in inputs["products"]]
    lost = sum(one["produced"] - one["saleable"] for one in inputs["products"])

    assert lost == 75
    assert graded(cost, outputs, lost=lost) == [cents(expected["main"]), cents(expected["second"])]


def test_jc_04_by_volume(published, owner):
    """Lecture slides: 1,000 barrels and 100,000 of cost part as 30, 30, 20, 10 and 10 thousand."""
    inputs, expected = published["JC-04"]["inputs"], published["JC-04"]["expected"]
    outputs = [Output(LineFactory(stems=1), number) for number in inputs["qty"].values()]

    assert graded(inputs["joint_cost"], outputs) == [cents(part) for part in expected.values()]
