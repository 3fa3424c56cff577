"""The pages of materials and of what is written down, as a person meets them."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.daybook.actions import add_material, count_material, use_material
from ledger.daybook.models import Material, MaterialCount, MaterialUse, PurchaseLine
from ledger.facts.models import CostKind
from ledger.facts.queries import holding
from tests.factories.daybook import the_holding
from tests.factories.growing import LotFactory, PlantingFactory
from tests.filling import fill, read

pytestmark = pytest.mark.django_db
MARCH_1 = date(2024, 3, 1)


def twine(by, **given) -> Material:
    """A material in centimetres."""
    return add_material(by=by, **{"name": "Twine", "unit": "cm", **given})


def buy(client, *things, **given):
    """Send a bill of one line for the things."""
    typed = {
        "supplier": "Rope walk", "on": "2024-03-01", "description_0": "twine", "net_0": "10", "tax_0": "2",
        "kind_0": CostKind.objects.get(code="packing").pk, "spent_on_0": [thing.pk for thing in things], **given,
    }
    return fill(client, reverse("daybook:record_purchase"), **typed)


def test_a_material_is_named_bought_used_counted_and_taken_back(owner, client_as):
    """From its name to 380 on hand, counted as 370, and back to 500."""
    client, planting = client_as(owner), PlantingFactory()
    fill(client, reverse("daybook:add_material"), name="Twine", unit="cm")
    material = Material.objects.get()
    buy(client, material.cost_object, quantity_0="500")
    use, count = (f"{reverse(f'daybook:{verb}_material')}?material={material.pk}" for verb in ("use", "count"))
    fill(client, use, quantity="120", spent_on=planting.pk, on="2024-03-02")
    fill(client, count, counted="370", on="2024-03-03")

    page = read(client, material.get_absolute_url())
    assert "370 cm" in page and planting.get_absolute_url() in page and "12.00" in page
    fill(client, reverse("daybook:undo_material_count", args=[MaterialCount.objects.get().pk]))
    assert "380 cm" in read(client, material.get_absolute_url())
    fill(client, reverse("daybook:undo_material_use", args=[MaterialUse.objects.get().pk]))
    assert "500 cm" in read(client, material.get_absolute_url())


def test_a_things_page_names_the_materials_used_for_it(owner, client_as):
    """The planting shows thirty cm of twine, with the way to it; the name is changed on its page."""
    material, planting, client = twine(owner), PlantingFactory(), client_as(owner)
    use_material(by=owner, material=material, on=MARCH_1, quantity=30, spent_on=planting.cost_object)

    page = read(client, planting.get_absolute_url())
    assert "30 cm of Twine" in page and material.get_absolute_url() in page
    fill(client, reverse("daybook:rename_material", args=[material.pk]), name="Jute")
    assert "30 cm of Jute" in read(client, planting.get_absolute_url())


def test_the_list_says_what_is_on_hand(owner, client_as):
    """Each material with a link to its page; sorted and sifted."""
    material = twine(owner)
    count_material(by=owner, material=material, on=MARCH_1, counted=41)
    client, url = client_as(owner), reverse("daybook:materials")

    for column in ("name", "on_hand", "unit", "by_count", "last_counted_on"):
        page = read(client, f"{url}?sort=-{column}")
        assert material.get_absolute_url() in page and ">41<" in page
    assert material.get_absolute_url() not in read(client, f"{url}?name=nobody")


def test_the_list_asks_as_often_for_many_as_for_one(owner, client_as, django_assert_max_num_queries):
    """Ten materials are read in as many questions as one."""
    for number in range(10):
        material = twine(owner, name=f"Twine {number}")
        use_material(by=owner, material=material, on=MARCH_1, quantity=3, spent_on=the_holding()[0][0])
    client = client_as(owner)

    with django_assert_max_num_queries(14):
        assert read(client, reverse("daybook:materials")).count(">-3<") == 10


def test_more_used_than_bought_is_said_and_shown_today(owner, hand, client_as):
    """A purchase is missing: on its page to all, on Today to those who enter purchases."""
    material = twine(owner)
    use_material(by=owner, material=material, on=MARCH_1, quantity=7, spent_on=the_holding()[0][0])

    assert "a purchase is missing" in read(client_as(hand), material.get_absolute_url())
    assert "More of Twine was used" in read(client_as(owner), reverse("today"))
    assert "More of Twine was used" not in read(client_as(hand), reverse("today"))


def test_a_hand_reads_no_price_of_a_material(owner, hand, client_as):
    """How many came, not from whom or what it cost."""
    material = twine(owner)
    buy(client_as(owner), material.cost_object, quantity_0="500")

    page = read(client_as(hand), material.get_absolute_url())
    assert "500" in page and "12.00" not in page and "Rope walk" not in page


@pytest.mark.parametrize(("typed", "field"), [
    ({}, "quantity_0"), ({"quantity_0": "5", "covers_from_0": "2024-03-01", "covers_to_0": "2024-03-31"}, "covers_from_0"),
])
def test_a_bill_for_a_material_says_what_it_lacks(owner, client_as, typed, field):
    """How many came, and no stretch."""
    page = buy(client_as(owner), twine(owner).cost_object, **typed)

    assert list(page.context["form"].errors) == [field] and not PurchaseLine.objects.exists()


def test_a_number_without_a_material_is_refused(owner, client_as):
    """The holding is bought by no number."""
    page = buy(client_as(owner), holding().cost_object, quantity_0="5")

    assert list(page.context["form"].errors) == ["quantity_0"]


def test_what_lasts_is_written_down_over_its_years(owner, client_as):
    """Ten years from 1 March 2024 end with 28 February 2034."""
    buy(client_as(owner), holding().cost_object, years_0="10")

    line = PurchaseLine.objects.get()
    assert (line.covers_from, line.covers_to) == (MARCH_1, date(2034, 2, 28))


@pytest.mark.parametrize("typed", [
    {"years_0": "0"}, {"years_0": "41"}, {"years_0": "2", "covers_from_0": "2024-03-01", "covers_to_0": "2024-03-31"},
])
def test_absurd_years_are_refused(owner, client_as, typed):
    """One year to forty, and not beside days."""
    page = buy(client_as(owner), holding().cost_object, **typed)

    assert list(page.context["form"].errors) == ["years_0"] and not PurchaseLine.objects.exists()


def test_a_bill_is_shared_by_stems(owner, client_as):
    """A bill for two lots of 120 and 80 stems, the later first."""
    lots = [LotFactory(stems=120), LotFactory(stems=80)]
    buy(client_as(owner), *(lot.cost_object for lot in lots), shared_0="stems")

    assert list(PurchaseLine.objects.get().shares.values_list("weight", flat=True)) == [80, 120]


def test_a_bill_that_cannot_be_shared_says_so_on_its_line(owner, client_as):
    """The holding has no stems."""
    page = buy(client_as(owner), holding().cost_object, LotFactory().cost_object, shared_0="stems")

    assert list(page.context["form"].errors) == ["spent_on_0"]


def test_a_thing_used_for_is_found_by_words(hand, client_as):
    """New words show the list again and note nothing."""
    material, planting = twine(hand), PlantingFactory()
    page = fill(
        client_as(hand), reverse("daybook:use_material"), material=material.pk, quantity="5", find=str(planting.variety), seek="1"
    )

    form = page.context["form"]
    assert [key for _kind, group in form.fields["spent_on"].choices[1:] for key, _label in group] == [planting.pk]
    assert form["quantity"].value() == "5" and not MaterialUse.objects.exists()
