"""Published shrinkage of numbers read back from hangings and sales; sources in examples.json.

A pot is a stem hung, one that never sells a stem lost. Weight lost in drying
(AH-624-385) goes by the water of the species, entered with it; glycerol-treated
flowers (AATCC-11-4-168) hold none, so that check is of the sums alone, in
test_shrinkage.py.
"""

from decimal import Decimal

import pytest

from ledger.books.queries.earning import bed_earnings
from ledger.drying.actions import set_loss_norm
from ledger.drying.queries.weights import dried_weight
from ledger.reckoning.sharing import to_minor
from ledger.sales.actions import Sold, sell
from ledger.stock.actions import Output, make_run
from tests.factories.drying import (
    HangingFactory,
    LotFactory,
    PlantingFactory,
    SpeciesFactory,
    TakingDownFactory,
    VarietyFactory,
    owner,
)
from tests.factories.pricing import StallFactory
from tests.factories.stock import LineFactory

from .records import CUT, DOWN, MADE, YEAR_END, cents, costs_of, dried, hung


def grown_and_sold(pots, lost_pct, price):
    """A planting of so many pots, so many in a hundred of them lost, the others sold at a price."""
    hanging, line = hung(pots, "100"), LineFactory(stems=1)
    saleable = pots - pots * lost_pct // 100
    dried(hanging, sound=saleable)
    make_run(by=owner(), on=MADE, inputs=[(hanging, saleable)], outputs=[Output(line, saleable)])
    sell(by=owner(), on=MADE, way=StallFactory(), lines=[Sold(saleable, line, price=cents(price))])
    return hanging.parting.lot.planting


def worth_of_loss(pots, low_pct, high_pct, price):
    """How much less one planting brings in than another for losing more, by bed earnings."""
    low, high = (grown_and_sold(pots, lost, price) for lost in (low_pct, high_pct))
    income = {row.planting: row.income for row in bed_earnings(2024, YEAR_END)}
    return to_minor(income[low] - income[high])


def test_uga_shrink_usual_loss_leaves_850_to_bear_the_cost(published, owner):
    """University of Georgia: 15 in 100 of 1,000 leave 850; the first 85 down sound bear a tenth of the cost."""
    inputs, expected = published["UGA-SHRINK"]["inputs"], published["UGA-SHRINK"]["expected"]
    hanging = hung(inputs["pots"], "8500")
    variety = hanging.parting.lot.planting.variety
    set_loss_norm(by=owner, variety=variety, on=CUT, share_bp=inputs["loss_pct"] * 100)
    TakingDownFactory(hanging=hanging, on=DOWN, stems=100, losses={"mould": 15})
    run = make_run(by=owner, on=MADE, inputs=[(hanging, 85)], outputs=[Output(LineFactory(stems=1), 85)])

    assert costs_of(run) == [cents("8500") * 85 // expected["saleable"]] == [cents("850")]


def test_uga_shrink_losing_15_in_100_costs_738(published, owner):
    """0 against 15 in 100 at the published worth of a pot is 738 of income."""
    inputs, expected = published["UGA-SHRINK"]["inputs"], published["UGA-SHRINK"]["expected"]
    found = worth_of_loss(inputs["pots"], 0, inputs["loss_pct"], expected["per_pot"])

    assert found == cents(expected["worth_of_loss"])


@pytest.mark.parametrize("level", [0, 1])
def test_uga_shrink_halving_the_loss_is_worth_175_to_313(published, owner, level):
    """From 10 to 5 in 100 brings 175 at the lowest published worth of a pot, 313 at the highest."""
    inputs, expected = published["UGA-SHRINK"]["inputs"], published["UGA-SHRINK"]["expected"]
    price = expected["per_pot_range"][level]
    found = worth_of_loss(inputs["pots"], inputs["to_loss_pct"], inputs["from_loss_pct"], price)

    assert found == cents(expected["worth_of_halving"][level])


@pytest.mark.parametrize("place", [0, 1])
def test_ah_624_385_weighed_flowers_say_what_they_weigh_dry(published, owner, place):
    """Acta Horticulturae 624:385-388, 2003: ten thousand flowers weighed fresh say the printed dried weight, and its water."""
    inputs, expected = published["AH-624-385"]["inputs"], published["AH-624-385"]["expected"]
    columns = ("fresh_g", "fresh_moisture_pct", "dried_moisture_pct")
    fresh, wet, dry = (int(Decimal(inputs[name][place]) * 100) for name in columns)
    should = int(Decimal(expected["dried_g"][place]) * 10_000)
    species = SpeciesFactory(fresh_moisture_bp=wet, dry_moisture_bp=dry)
    planting = PlantingFactory(variety=VarietyFactory(species=species))
    lot = LotFactory(planting=planting, on=CUT, stems=None, fresh_g=fresh * 100, sample_stems=100, sample_g=fresh)
    hanging = HangingFactory(lot=lot, on=CUT, stems=10_000)
    TakingDownFactory(hanging=hanging, on=DOWN, stems=10_000, dried_g=should)
    found = dried_weight(hanging, hanging.takings.all())

    assert (found.fresh_g, found.expected_g) == (fresh * 100, should)
    assert abs(found.water_bp - dry) <= 5
