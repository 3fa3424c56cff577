"""What grows, is cut and leaves a lot, made by the stage's own verbs."""

from datetime import date

import factory

from ledger.growing import actions
from ledger.growing.models import Clearing, Expectation, Parting

from .drying import (
    BedFactory,
    ByOwner,
    LotFactory,
    PlantingFactory,
    PlotFactory,
    SpeciesFactory,
    VarietyFactory,
    owner,
)

__all__ = [
    "BedFactory", "ByOwner", "ClearingFactory", "ExpectationFactory", "LotFactory", "PartingFactory", "PlantingFactory",
    "PlotFactory", "SpeciesFactory", "VarietyFactory", "owner",
]


class ExpectationFactory(ByOwner):
    class Meta:
        model = Expectation

    planting = factory.SubFactory(PlantingFactory)
    on = date(2024, 5, 1)
    season = 2024
    stems = 400
    _act = staticmethod(actions.expect)


class ClearingFactory(ByOwner):
    class Meta:
        model = Clearing

    planting = factory.SubFactory(PlantingFactory)
    on = date(2024, 10, 1)
    why = "over"
    _act = staticmethod(actions.clear)


class PartingFactory(ByOwner):
    """Stems thrown out, unless another way is given."""

    class Meta:
        model = Parting

    lot = factory.SubFactory(LotFactory)
    on = date(2024, 7, 2)
    way = "thrown_out"
    stems = 100
    _act = staticmethod(actions.part)
