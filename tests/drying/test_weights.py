"""Weight lost in drying: what a weighed lot should weigh dry, and the water it still holds."""

from datetime import date

from django.urls import reverse

from ledger.drying.models import Hanging
from ledger.drying.queries.weights import Dried, dried_weight
from ledger.growing import actions as growing
from tests.factories.drying import HangingFactory, TakingDownFactory
from tests.factories.growing import LotFactory
from tests.refusals import refused

CUT, DOWN = date(2024, 7, 1), date(2024, 7, 20)


def weighed(owner, *, water=(8000, 1000), dried_g=None, fresh_g=4000):
    """A lot of 400 stems at 10 g each, 300 of them hung; 200 came down sound, weighed or not."""
    lot = LotFactory(on=CUT, stems=None, fresh_g=fresh_g, sample_stems=10, sample_g=100)
    if water:
        changes = {"fresh_moisture_bp": water[0], "dry_moisture_bp": water[1]}
        growing.change_species(by=owner, species=lot.planting.variety.species, changes=changes)
    hanging = HangingFactory(lot=lot, on=CUT, stems=300)
    TakingDownFactory(hanging=hanging, on=DOWN, stems=210, losses={"mould": 10}, dried_g=dried_g)
    return Hanging.objects.whole().get(pk=hanging.pk)


def test_weighed_stems_say_what_they_should_weigh_dry(owner):
    """200 of 400 stems at 4000 g were 2000 g: at 80 % water they dry to 444 g at 10 %; at 500 g they hold 20 % still."""
    hanging = weighed(owner, dried_g=500)

    assert dried_weight(hanging, hanging.takings.all()) == Dried(2000, 500, expected_g=444, water_bp=2000)


def test_without_the_species_water_only_the_weights_are_said(owner):
    """Nobody entered how much water is in it: what was weighed stands alone."""
    hanging = weighed(owner, dried_g=500, water=None)

    assert dried_weight(hanging, hanging.takings.all()) == Dried(2000, 500, None, None)


def test_unweighed_stems_say_nothing(owner):
    """No weight of the dried stems, or of the lot: nothing to tell."""
    hanging = weighed(owner)

    assert dried_weight(hanging, hanging.takings.all()) is None


def test_a_species_is_wetter_fresh_than_dry(owner):
    """Water when dry is less than when fresh; one alone is refused."""
    species = weighed(owner).parting.lot.planting.variety.species
    for changes in ({"dry_moisture_bp": 9000}, {"dry_moisture_bp": None}):
        with refused("does_not_dry"):
            growing.change_species(by=owner, species=species, changes=changes)


def test_the_hangings_page_tells_its_weights(owner, client_as):
    """The page says fresh and dried weight, what is dry enough and the water still held."""
    page = client_as(owner).get(reverse("drying:hanging", args=[weighed(owner, dried_g=500).pk])).content.decode()

    assert "2000 g fresh, 500 g dried" in page
    assert "dry enough at 444 g; it holds 20" in page
