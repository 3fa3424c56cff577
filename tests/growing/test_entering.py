"""Entering what happens in the beds: what the forms already say, what they refuse, what the pages show."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts.models import Amendment
from ledger.facts.queries import today
from ledger.growing.models import Bed, Expectation, Lot, Parting, Planting, Plot, Species, Variety
from ledger.growing.today import notes
from tests.factories.daybook import PurchaseFactory, WorkFactory, bought
from tests.factories.drying import HangingFactory
from tests.factories.growing import (
    BedFactory,
    ClearingFactory,
    ExpectationFactory,
    LotFactory,
    PartingFactory,
    PlantingFactory,
    PlotFactory,
    SpeciesFactory,
    VarietyFactory,
)
from tests.filling import fill, read

pytestmark = pytest.mark.django_db
TEN = Decimal(10)


@pytest.mark.parametrize(("name", "made", "sift"), [
    ("plots", PlotFactory, "kind=glass"), ("beds", BedFactory, "name=nowhere"), ("species_list", SpeciesFactory, "name=none"),
    ("varieties", VarietyFactory, "colour=black"), ("plantings", PlantingFactory, "state=cleared"),
    ("lots", LotFactory, "state=parted"), ("partings", PartingFactory, "way=drawn"),
])
def test_every_list_sorts_and_sifts(hand, client_as, name, made, sift):
    """Each list shows its record in any order, and sifts it away."""
    record, client, url = made(), client_as(hand), reverse(f"growing:{name}")

    for column in [column.name for column in client.get(url).context["table"].columns if column.orderable]:
        assert f'"{record.get_absolute_url()}"' in read(client, f"{url}?sort=-{column}")
    assert f'"{record.get_absolute_url()}"' not in read(client, f"{url}?{sift}")


@pytest.mark.parametrize("name", ["beds", "plantings", "lots", "partings"])
def test_a_lists_queries_do_not_depend_on_its_rows(hand, client_as, name):
    """Four rows are read in as many queries as one."""
    client, url = client_as(hand), reverse(f"growing:{name}")

    def queries():
        PartingFactory()
        with CaptureQueriesContext(connection) as asked:
            client.get(url)
        return len(asked)

    queries()
    assert len({queries() for _ in range(3)}) == 1


def test_the_ground_is_laid_through_pages(hand, client_as):
    """A plot, its bed with all the area left, a species with a caution and its variety."""
    client = client_as(hand)
    fill(client, reverse("growing:add_plot"), name="South field", kind="open", area_m2="50")
    plot = Plot.objects.get()
    fill(client, f"{reverse('growing:add_bed')}?plot={plot.pk}", name="1")
    fill(client, reverse("growing:add_species"), name="Monkshood", caution="All of it is poisonous.", stems_per_m2=40)
    species = Species.objects.get()
    fill(client, f"{reverse('growing:add_variety')}?species={species.pk}", name="Blue", colour="blue")

    assert Bed.objects.get().area_m2 == 50
    assert "South field 1" in read(client, Bed.objects.get().get_absolute_url())
    assert "All of it is poisonous." in read(client, Variety.objects.get().get_absolute_url())


def test_a_full_plot_offers_no_area(hand, client_as):
    """Nothing left, nothing proposed; what is typed all the same is refused with what was typed kept."""
    plot, client = PlotFactory(area_m2=TEN), client_as(hand)
    BedFactory(plot=plot, area_m2=TEN, name="1")
    url = f"{reverse('growing:add_bed')}?plot={plot.pk}"
    page = fill(client, url, name="2", area_m2="3")

    assert client.get(url).context["form"]["area_m2"].value() is None
    assert page.status_code == 422 and 'value="3"' in page.content.decode()


def test_names_are_changed_with_a_history(hand, client_as):
    """Plot, bed, variety and species can be called otherwise; what stood before is kept."""
    lot, client = LotFactory(), client_as(hand)
    bed, variety = lot.planting.bed, lot.planting.variety
    fill(client, reverse("growing:rename_plot", args=[bed.plot_id]), name="North field")
    fill(client, reverse("growing:rename_bed", args=[bed.pk]), name="7")
    fill(client, reverse("growing:change_variety", args=[variety.pk]), name="Indigo", colour="deep blue")
    fill(client, reverse("growing:change_species", args=[variety.species_id]), caution="Sap irritates.")

    assert str(Bed.objects.get()) == "North field 7"
    assert Plot.objects.get().cost_object.label == "North field"
    assert Variety.objects.get().colour == "deep blue"
    assert sorted(Amendment.objects.values_list("field", flat=True)) == ["caution", "colour", "name", "name", "name"]
    assert "Sap irritates." in read(client, lot.get_absolute_url())


def test_a_name_changed_meanwhile_is_not_written_over(hand, client_as):
    """A form opened before somebody else's change is refused and says what stands now."""
    plot, client = PlotFactory(name="Field"), client_as(hand)
    url = reverse("growing:rename_plot", args=[plot.pk])
    stale = client.get(url).context["form"]
    fill(client, url, name="South field")
    page = client.post(url, {"form_key": stale["form_key"].value(), "name": "West field", "seen": "Field"})

    assert page.status_code == 422
    assert "South field" in str(page.context["form"].errors)
    assert Plot.objects.get().name == "South field"


def test_planting_takes_what_is_free_in_the_bed(hand, client_as):
    """Opened from a bed with 30 of 50 m2 free, the form says 30; left empty it means the same."""
    bed, client = PlantingFactory(area_m2=Decimal(20)).bed, client_as(hand)
    url = f"{reverse('growing:plant')}?bed={bed.pk}"

    assert client.get(url).context["form"]["area_m2"].value() == 30
    fill(client, url, variety=VarietyFactory().pk, area_m2="", on="2024-05-01", season=2024, expected_stems=900)
    planting = Planting.objects.latest("pk")
    assert (planting.area_m2, planting.expectations.get().stems) == (30, 900)


def test_a_full_bed_says_so(hand, client_as):
    """With no area typed and none free, the bed is what is at fault."""
    planting, client = PlantingFactory(area_m2=Decimal(50)), client_as(hand)
    url = f"{reverse('growing:plant')}?bed={planting.bed_id}"
    page = fill(client, url, variety=planting.variety_id, on="2024-05-01", season=2024)

    assert (page.status_code, list(page.context["form"].errors)) == (422, ["bed"])
    assert Planting.objects.count() == 1


@pytest.mark.parametrize("name", ["plant", "expect"])
def test_a_hands_forms_know_no_money(hand, owner, client_as, name):
    """The owner may plan a cost with the stems, a hand is not asked."""
    args = [PlantingFactory().pk] if name == "expect" else []
    forms = [client_as(user).get(reverse(f"growing:{name}", args=args)).context["form"] for user in (owner, hand)]

    assert ["planned_cost" in form.fields for form in forms] == [True, False]


def test_an_expectation_with_its_plan_is_entered_and_undone(owner, hand, client_as):
    """350 stems and 120.00 planned: the owner sees both, the hand the stems only."""
    planting, client = PlantingFactory(), client_as(owner)
    fill(client, reverse("growing:expect", args=[planting.pk]), stems=350, planned_cost="120", on="2024-06-01")
    expectation = Expectation.objects.get()

    assert (expectation.stems, expectation.planned_cost) == (350, 12000)
    assert "120.00" in read(client, planting.get_absolute_url())
    assert "120.00" not in read(client_as(hand), planting.get_absolute_url())
    fill(client, reverse("growing:undo_expectation", args=[expectation.pk]))
    assert not Expectation.objects.standing().exists()


def test_the_next_expectation_begins_with_the_last(owner, client_as):
    """The form shows what is expected now."""
    planting = ExpectationFactory(stems=400).planting
    form = client_as(owner).get(reverse("growing:expect", args=[planting.pk])).context["form"]

    assert (form["stems"].value(), form["season"].value()) == (400, 2024)


def test_cutting_begins_like_the_last_cut(hand, client_as):
    """The planting it was opened from, the stage and the stems to a bundle of the last lot."""
    planting = PlantingFactory()
    LotFactory(planting=planting, stems=None, stage="half_open", bundles=4, per_bundle=25)
    form = client_as(hand).get(f"{reverse('growing:cut')}?planting={planting.pk}").context["form"]

    assert [form[name].value() for name in ("planting", "stage", "per_bundle")] == [str(planting.pk), "half_open", 25]


def test_cutting_offers_what_stands_or_stood_lately(hand, client_as):
    """Cleared long ago, a planting is offered only where the form was opened from it."""
    standing, gone = PlantingFactory(), ClearingFactory().planting
    client, url = client_as(hand), reverse("growing:cut")

    assert list(client.get(url).context["form"].fields["planting"].queryset) == [standing]
    opened = client.get(f"{url}?planting={gone.pk}").context["form"].fields["planting"].queryset
    assert set(opened) == {standing, gone}


def test_a_lot_counted_without_any_number_is_refused(hand, client_as):
    """Neither stems nor bundles: the form says what would do."""
    url = f"{reverse('growing:cut')}?planting={PlantingFactory().pk}"
    page = fill(client_as(hand), url, stage="full", on="2024-07-01")

    assert "or bundles and stems to the bundle" in str(page.context["form"].errors["stems"])
    assert not Lot.objects.exists()


@pytest.mark.parametrize(("name", "way"), [("throw_out", "thrown_out"), ("draw_stems", "drawn")])
def test_all_that_is_left_leaves_unless_fewer_are_typed(hand, client_as, name, way):
    """Of 1000 stems with 100 gone, 900 are proposed."""
    lot, client = PartingFactory(way="cut_dry", stems=100).lot, client_as(hand)
    fill(client, reverse(f"growing:{name}", args=[lot.pk]), on="2024-07-03")

    assert Parting.objects.get(way=way).stems == 900
    page = fill(client, reverse(f"growing:{name}", args=[lot.pk]), stems=1, on="2024-07-03")
    assert "Only 0 stems" in str(page.context["form"].errors["stems"])


def test_a_lot_shows_all_its_ways_out(owner, client_as):
    """Thrown out can be undone here, hung is shown with its hanging."""
    thrown = PartingFactory(why="bent")
    hanging = HangingFactory(lot=thrown.lot)
    page = read(client_as(owner), thrown.lot.get_absolute_url())

    assert "bent" in page and reverse("growing:undo_parting", args=[thrown.pk]) in page
    assert hanging.get_absolute_url() in page and reverse("growing:undo_parting", args=[hanging.parting_id]) not in page
    assert thrown.lot.planting.get_absolute_url() in page


def test_an_undone_lot_says_so_and_offers_nothing(hand, client_as):
    """What was undone stays readable, and nothing can be done with it."""
    lot, client = LotFactory(), client_as(hand)
    fill(client, reverse("growing:undo_lot", args=[lot.pk]))
    page = client.get(lot.get_absolute_url())

    assert "Undone" in page.content.decode()
    assert page.context["links"] == []


def test_a_planting_shows_its_hours_and_its_bills_to_those_who_may(owner, hand, seller, client_as):
    """The owner sees 90 minutes and the seed bill, a hand the minutes, a seller neither."""
    planting = PlantingFactory()
    entry = WorkFactory(spent_on=[(planting.cost_object, 1)])
    bill = PurchaseFactory(lines=[bought(spent_on=[(planting.cost_object, 1)])])
    seen = {user.role: read(client_as(user), planting.get_absolute_url()) for user in (owner, hand, seller)}

    assert [entry.get_absolute_url() in seen[role] for role in ("owner", "hand", "seller")] == [True, True, False]
    assert [bill.get_absolute_url() in seen[role] for role in ("owner", "hand", "seller")] == [True, False, False]


@pytest.mark.parametrize("name", ["add_plot", "add_bed", "add_species", "add_variety", "plant", "cut"])
def test_the_fields_forms_are_closed_to_seller_and_bookkeeper(seller, bookkeeper, client_as, name):
    """Only field people enter what happens in the field."""
    assert [client_as(user).get(reverse(f"growing:{name}")).status_code for user in (seller, bookkeeper)] == [403, 403]


def test_today_names_lots_long_in_water(hand, seller):
    """Cut two days ago and still in water it is named, the day before it is not, and not to a seller."""
    LotFactory(on=date(2024, 7, 1))

    assert [len(list(notes(hand, date(2024, 7, day)))) for day in (2, 3)] == [0, 1]
    assert not list(notes(seller, date(2024, 7, 3)))
    assert not list(notes(hand, date(2024, 6, 30)))


def test_a_planting_cleared_lately_can_still_be_entered(hand, client_as):
    """A cutting is often written up after the bed was cleared."""
    lately = today() - timedelta(days=30)
    planting = PlantingFactory(on=lately - timedelta(days=60), season=lately.year)
    ClearingFactory(planting=planting, on=lately)

    assert list(client_as(hand).get(reverse("growing:cut")).context["form"].fields["planting"].queryset) == [planting]
