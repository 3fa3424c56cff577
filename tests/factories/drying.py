"""Things that hang, made by the stage's own verbs."""

from datetime import date
from decimal import Decimal
from typing import Any

import factory

from ledger.drying import actions
from ledger.drying.models import Hanging, Place, TakingDown
from ledger.facts.models import User
from ledger.growing import actions as growing
from ledger.growing.models import Bed, Lot, Planting, Plot, Species, Variety


def owner() -> User:
    """The one who may do everything."""
    return User.objects.get(role=User.Role.OWNER)


class ByOwner(factory.django.DjangoModelFactory):
    """A record made by its verb, `_act`, as the owner."""

    class Meta:
        abstract = True

    by = factory.LazyFunction(owner)

    @classmethod
    def _create(cls, model_class: type, *args: Any, **given: Any) -> Any:
        return cls._act(**given)


class SpeciesFactory(ByOwner):
    class Meta:
        model = Species

    name = factory.Sequence(lambda n: f"Statice {n}")
    _act = staticmethod(growing.add_species)


class VarietyFactory(ByOwner):
    class Meta:
        model = Variety

    species = factory.SubFactory(SpeciesFactory)
    name = "Blue"
    colour = "blue"
    _act = staticmethod(growing.add_variety)


class PlotFactory(ByOwner):
    class Meta:
        model = Plot

    name = factory.Sequence(lambda n: f"Plot {n}")
    kind = "open"
    area_m2 = Decimal(100)
    _act = staticmethod(growing.add_plot)


class BedFactory(ByOwner):
    class Meta:
        model = Bed

    plot = factory.SubFactory(PlotFactory)
    name = "1"
    area_m2 = Decimal(50)
    _act = staticmethod(growing.add_bed)


class PlantingFactory(ByOwner):
    class Meta:
        model = Planting

    variety = factory.SubFactory(VarietyFactory)
    bed = factory.SubFactory(BedFactory)
    on = date(2024, 4, 1)
    area_m2 = Decimal(10)
    season = 2024
    _act = staticmethod(growing.plant)


class LotFactory(ByOwner):
    class Meta:
        model = Lot

    planting = factory.SubFactory(PlantingFactory)
    on = date(2024, 7, 1)
    stage = "full"
    stems = 1000
    _act = staticmethod(growing.cut)


class PlaceFactory(ByOwner):
    class Meta:
        model = Place

    name = factory.Sequence(lambda n: f"Loft {n}")
    unit = "hooks"
    room = 100
    _act = staticmethod(actions.add_place)


class HangingFactory(ByOwner):
    class Meta:
        model = Hanging

    lot = factory.SubFactory(LotFactory)
    place = factory.SubFactory(PlaceFactory)
    on = date(2024, 7, 2)
    stems = 100
    _act = staticmethod(actions.hang)


class TakingDownFactory(ByOwner):
    class Meta:
        model = TakingDown

    hanging = factory.SubFactory(HangingFactory)
    on = date(2024, 7, 20)
    stems = 100
    _act = staticmethod(actions.take_down)
