"""Plots, beds, species and varieties."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import Amendment, CostObject
from ledger.growing.actions import add_bed, add_plot, add_species, add_variety, change_species
from ledger.growing.models import Bed
from tests.factories.growing import BedFactory, ClearingFactory, PlantingFactory, PlotFactory, SpeciesFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db
TEN, FORTY = Decimal(10), Decimal(40)


def test_a_plot_can_be_spent_on(hand):
    """A plot's own key is what a bill for it names."""
    plot = add_plot(by=hand, name="South field", kind="tunnel", area_m2=Decimal("120.50"))

    assert CostObject.objects.get(pk=plot.pk).kind == "plot"
    assert plot.cost_object.label == "South field"


@pytest.mark.parametrize(("given", "code"), [
    ({"area_m2": Decimal(0)}, "min_value"), ({"area_m2": Decimal(-1)}, "min_value"),
    ({"area_m2": Decimal("1.234")}, "max_decimal_places"), ({"kind": "roof"}, "invalid_choice"), ({"name": ""}, "blank"),
])
def test_an_absurd_plot_is_refused(owner, given, code):
    """A plot has a name, a known kind and an area in hundredths of a square metre."""
    with refused(code):
        add_plot(by=owner, **{"name": "Field", "kind": "open", "area_m2": TEN, **given})


def test_beds_never_exceed_their_plot(owner):
    """Of 50 m2, 10 are left when a bed takes 40."""
    plot = PlotFactory(area_m2=Decimal(50))
    add_bed(by=owner, plot=plot, name="1", area_m2=FORTY)

    with refused("too_large"):
        add_bed(by=owner, plot=plot, name="2", area_m2=Decimal("10.01"))
    assert add_bed(by=owner, plot=plot, name="2", area_m2=TEN).area_m2 == TEN


def test_a_bed_is_named_once_on_its_plot(owner):
    """Two beds of one plot cannot share a name, those of two plots can."""
    first = BedFactory(name="A")

    assert BedFactory(name="A").name == "A"
    with refused("unique_together"):
        add_bed(by=owner, plot=first.plot, name="A", area_m2=TEN)


def test_the_second_press_adds_one_bed(owner):
    """One form makes one bed."""
    given = {"by": owner, "plot": PlotFactory(), "name": "1", "area_m2": TEN, "key": "a-form"}

    assert add_bed(**given) == add_bed(**given)
    assert Bed.objects.count() == 1


def test_a_seller_lays_no_beds(seller):
    """Ground is the field's work."""
    with pytest.raises(PermissionDenied):
        add_plot(by=seller, name="Field", kind="open", area_m2=TEN)


def test_free_area_is_what_nothing_stands_on_that_day(owner):
    """Of 50 m2, 20 are taken from 1 April up to, not including, the day of clearing."""
    bed = BedFactory(area_m2=Decimal(50))
    ClearingFactory(planting=PlantingFactory(bed=bed, on=date(2024, 4, 1), area_m2=Decimal(20)), on=date(2024, 10, 1))

    def free(on):
        return Bed.objects.with_free(on).get(pk=bed.pk).free_m2

    assert [free(date(2024, 3, 31)), free(date(2024, 4, 1)), free(date(2024, 9, 30)), free(date(2024, 10, 1))] == [50, 30, 30, 50]


def test_a_variety_is_named_once_in_its_species(owner):
    """A species has its name, a variety its own within it."""
    species = add_species(by=owner, name="Statice", botanical="Limonium sinuatum", stems_per_m2=80)
    variety = add_variety(by=owner, species=species, name="Blue", colour="blue")

    assert str(variety) == "Statice Blue"
    with refused("unique_together"):
        add_variety(by=owner, species=species, name="Blue")
    with refused("unique"):
        add_species(by=owner, name="Statice")


def test_a_changed_caution_keeps_what_stood_before(hand):
    """A caution is a note: changed with a history, not over somebody else's change."""
    species = SpeciesFactory(caution="")

    species = change_species(by=hand, species=species, changes={"caution": "Sap irritates."}, seen={"caution": ""})

    assert species.caution == "Sap irritates."
    assert Amendment.objects.get().field == "caution"
    with refused("stale_form"):
        change_species(by=hand, species=species, changes={"caution": "None."}, seen={"caution": ""})
