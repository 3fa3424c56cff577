"""Published joint-cost answers read back from bunching runs, cuts and oddments; sources in examples.json.

Graded: the process is one hanging with the joint cost spent on it, its
products are the lines of one run. Cut: it is one lot, its products are what
was sold fresh and what was hung, by the value kept for a hundred stems of
each. Their unit is stems: a product's "cups" or "barrels" are stems, a pound
or quart of so many cups a bunch of so many stems. A by-product is oddments,
kept at what they fetch less what selling them costs.
"""

from decimal import Decimal

from ledger.costing.queries import book
from ledger.drying.actions import keep_oddments
from ledger.growing.actions import value_ways
from ledger.stock.actions import Output, make_run
from tests.factories.drying import HangingFactory, owner
from tests.factories.growing import LotFactory, PartingFactory
from tests.factories.stock import LineFactory

from .records import CUT, DOWN, MADE, YEAR_END, cents, costs_of, dried, hung, resting_in, spend, whole_cents


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


def cut_and_parted(cost, *, fresh, to_dry, worth, thrown_out=0):
    """What stems sold fresh and stems hung bear of a lot's cost, by what a hundred of each are worth."""
    lot = LotFactory(stems=fresh + to_dry + thrown_out, on=CUT)
    spend(cost, lot)
    value_ways(by=owner(), lot=lot, on=CUT, values=dict(zip(("sold_fresh", "hung"), worth, strict=True)))
    if thrown_out:
        PartingFactory(lot=lot, on=CUT, stems=thrown_out)
    hanging = HangingFactory(lot=lot, stems=to_dry, on=CUT)
    PartingFactory(lot=lot, on=CUT, way="sold_fresh", stems=fresh)
    return [resting_in("cost of sales"), whole_cents(book(YEAR_END).node(("hanging", hanging.pk)).carried)]


def per_hundred(value, stems):
    """A printed value of all stems, as that of a hundred in cents."""
    return int(Decimal(value) * 100 * 100 / stems)


def test_jc_01_at_the_cut(published, owner):
    """The same 31,680 parted at the cut, 1.10 and 0.30 a stem: 17,424 and 14,256."""
    inputs, expected = published["JC-01"]["inputs"], published["JC-01"]["expected"]["sales_value_at_split_off"]
    cups = [one["cups"] for one in inputs["products"]]
    worth = [per_hundred(expected["values"][name], stems) for name, stems in zip("PQ", cups, strict=True)]

    assert worth == [11_000, 3_000]
    assert cut_and_parted(inputs["joint_cost"], fresh=cups[0], to_dry=cups[1], worth=worth) == [
        cents(expected["P"]), cents(expected["Q"]),
    ]


def test_jc_01_at_the_cut_by_later_value(published, owner):
    """By what they are worth later, less the cost still to come: 19,800 and 11,880."""
    inputs, expected = published["JC-01"]["inputs"], published["JC-01"]["expected"]["net_realisable_value"]
    cups = [one["cups"] for one in inputs["products"]]
    worth = [per_hundred(expected["values"][name], stems) for name, stems in zip("PQ", cups, strict=True)]

    assert cut_and_parted(inputs["joint_cost"], fresh=cups[0], to_dry=cups[1], worth=worth) == [
        cents(expected["P"]), cents(expected["Q"]),
    ]


def test_jc_03_at_the_cut(published, owner):
    """450 at 2.00 sold, 375 at 0.80 hung and 75 thrown out: 750 and 250, nothing on what was thrown out."""
    inputs, expected = published["JC-03"]["inputs"], published["JC-03"]["expected"]["allocation"]
    cost = sum(Decimal(part) for part in inputs["joint_cost"].values())
    main, second = inputs["products"]
    found = cut_and_parted(
        cost, fresh=main["saleable"], to_dry=second["saleable"], thrown_out=second["produced"] - second["saleable"],
        worth=[cents(one["price"]) * 100 for one in (main, second)],
    )

    assert found == [cents(expected["main"]), cents(expected["second"])]


def test_bp_01_oddments_lower_the_cost_of_the_sound(published, owner):
    """A micro-lesson on by-products: 8,000 less 500 of selling is 7,500, and 92,500 is left for the main product."""
    inputs, expected = published["BP-01"]["inputs"], published["BP-01"]["expected"]
    terms, hanging = inputs["by_product"], hung(1000, inputs["joint_cost"])
    dried(hanging, sound=900)
    worth = sum(cents(terms[name]) * sign for name, sign in (("sales", 1), ("selling_costs", -1), ("further_processing", -1)))
    kept = keep_oddments(by=owner, hanging=hanging, on=DOWN, stems=100, value=worth)
    main, craft = (
        make_run(by=owner, on=MADE, inputs=[(source, stems)], outputs=[Output(LineFactory(stems=10), stems // 10)])
        for source, stems in ((hanging, 900), (kept, 100))
    )

    assert costs_of(main) == [cents(expected["joint_cost_left_for_main_products"])]
    assert costs_of(craft) == [cents(expected["by_product_nrv"])]
