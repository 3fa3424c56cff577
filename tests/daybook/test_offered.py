"""What a form offers to spend time and money on."""

import pytest

from ledger.daybook.queries import LATEST_OF_A_KIND, can_be_spent_on, offered
from ledger.growing.actions import undo_planting
from tests.factories.growing import LotFactory, PlantingFactory, PlotFactory, VarietyFactory

pytestmark = pytest.mark.django_db


def test_what_is_offered_follows_the_path(owner):
    """Plot, planting, lot, the store, the holding: the way a stem goes."""
    LotFactory()

    assert [thing.kind for thing in offered()] == ["plot", "planting", "lot", "store", "holding"]


def test_the_latest_of_each_kind_are_offered(owner):
    """Of one plot more than fits, the first is left out, unless it is asked for."""
    plots = [PlotFactory() for _ in range(LATEST_OF_A_KIND + 1)]

    assert [thing.pk for thing in offered() if thing.kind == "plot"] == [plot.pk for plot in plots[:0:-1]]
    assert plots[0].pk in [thing.pk for thing in offered(besides=[plots[0].pk])]


def test_words_find_what_is_older(owner):
    """Every word must be in the name, in any order."""
    blue = PlantingFactory(variety=VarietyFactory(name="Azure"))
    PlantingFactory()

    assert [thing.pk for thing in offered(f"2024 azure {blue.bed.name}")] == [blue.pk]
    assert not offered("azure nothing-of-the-kind").exists()


def test_what_was_undone_is_not_offered(owner):
    """Nothing more is spent on what never was."""
    planting = PlantingFactory()
    undo_planting(by=owner, planting=planting)

    assert planting.pk not in [thing.pk for thing in can_be_spent_on()]
    assert not offered(besides=[planting.pk]).filter(pk=planting.pk).exists()
