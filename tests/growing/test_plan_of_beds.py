"""Laying out the beds of a plot: what fits is kept with its history, what does not is refused on its own row."""

from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from ledger.facts.models import Amendment
from ledger.growing.actions import BedPlace, add_bed, add_plot, lay_out_beds
from ledger.growing.models import Bed
from ledger.growing.queries import place_of, plot_plan
from tests.refusals import refused

pytestmark = pytest.mark.django_db


def place(left, front, long, *, across=False):
    """A place in metres."""
    return BedPlace(Decimal(str(left)), Decimal(str(front)), Decimal(str(long)), across)


@pytest.fixture
def beds(owner):
    """A plot of 100 m2 with two beds of 24 and one of 10 m2."""
    plot = add_plot(by=owner, name="South", kind="open", area_m2=Decimal(100))
    return [add_bed(by=owner, plot=plot, name=name, area_m2=Decimal(area)) for name, area in (("1", 24), ("2", 24), ("3", 10))]


def lay_out(owner, beds, *places, wide=10):
    """The plot so wide with its beds where they are said to lie."""
    given = {bed.pk: one for bed, one in zip(beds, places, strict=False)}
    return lay_out_beds(by=owner, plot=beds[0].plot, wide_m=Decimal(wide), places=given)


def test_beds_lie_where_they_were_laid_and_their_width_follows(owner, beds):
    """24 m2, 8 m long away from the front is 3 m wide; 10 m2, 10 m long across is 1 m deep."""
    lay_out(owner, beds, place(0, 0, 8), place(3.5, 0, 8))
    lay_out(owner, beds[2:], place(0, 8, 10, across=True))
    first, _second, third = (place_of(bed) for bed in Bed.objects.order_by("pk"))

    assert (first.wide, first.deep) == (3, 8)
    assert (third.wide, third.deep, third.back) == (10, 1, 9)


def test_each_change_is_kept_with_what_stood_before(owner, beds):
    """The plot's width and three measures of the bed are in its history."""
    lay_out(owner, beds, place(0, 0, 8))
    lay_out(owner, beds, place("0.50", 0, 8))
    changed = Amendment.objects.filter(model="growing.Bed", field="left_m").order_by("pk").values_list("before", "after")

    assert list(changed) == [("None", "0"), ("0.00", "0.50")]
    assert Amendment.objects.get(model="growing.Plot", field="wide_m").after == "10"


@pytest.mark.parametrize(("where", "code"), [
    (place(8, 0, 8), "outside"), (place(0, 3, 8), "outside"), (place(0, 0, 2), "outside"),
    (BedPlace(left_m=Decimal(1)), "not_whole"),
])
def test_what_does_not_lie_on_the_plot_is_refused(owner, beds, where, code):
    """A bed neither sticks out of its plot on any side nor lies nowhere in particular."""
    with refused(code):
        lay_out(owner, beds, where)


def test_a_bed_on_top_of_another_is_refused_on_its_own_row(owner, beds):
    """The second would begin half a metre before the first ends; a centimetre is not measured."""
    with pytest.raises(ValidationError) as caught:
        lay_out(owner, beds, place(0, 0, 8), place("2.5", 0, 8))
    lay_out(owner, beds, place(0, 0, 8), place("2.99", 0, 8))

    assert caught.value.error_dict[f"left_m_{beds[1].pk}"][0].code == "on_another"


def test_a_bed_of_another_plot_and_a_change_meanwhile_are_refused(owner, beds):
    """A sheet speaks of its own beds, as it showed them."""
    other = add_plot(by=owner, name="North", kind="open", area_m2=Decimal(50))
    with refused("other_plot"):
        lay_out_beds(by=owner, plot=other, places={beds[0].pk: place(0, 0, 8)})
    lay_out(owner, beds, place(0, 0, 8))
    with refused("stale_form"):
        seen = {f"left_m_{beds[0].pk}": ""}
        lay_out_beds(by=owner, plot=beds[0].plot, wide_m=Decimal(10), places={beds[0].pk: place(1, 0, 8)}, seen=seen)


def test_a_seller_lays_out_nothing(seller, owner, beds):
    """The ground is the field's."""
    with pytest.raises(PermissionDenied):
        lay_out(seller, beds, place(0, 0, 8))


def test_beds_nobody_laid_out_stand_in_the_plot_by_their_area(owner, beds):
    """Without a place each is a strip of the whole depth; beside laid ones they stand behind the plot."""
    whole = plot_plan(beds[0].plot, beds)
    lay_out(owner, beds, place(0, 0, 8))
    mixed = plot_plan(Bed.objects.get(pk=beds[0].pk).plot, Bed.objects.order_by("pk").select_related("plot"))

    assert [one.patch.area for one in whole.beds] == [24, 24, 10]
    assert max(one.patch.right for one in whole.beds) == Fraction("5.8")
    assert [bed.name for bed in mixed.unlaid] == ["2", "3"]
    assert [one.patch.front for one in mixed.beds] == [0, 11, 11]


def test_the_sheet_keeps_what_was_typed(owner, beds, client_as):
    """A refused place is shown again with its sentence; a right one is kept."""
    client, url = client_as(owner), reverse("growing:lay_out_beds", args=[beds[0].plot_id])
    first = beds[0].pk
    typed = {"wide_m": "10", f"left_m_{first}": "8", f"front_m_{first}": "0", f"long_m_{first}": "8"}
    sent = {**client.get(url).context["form"].initial, **typed}
    sent = {name: value for name, value in sent.items() if value not in (None, False)}
    refused_page = client.post(url, sent)
    kept = client.post(url, {**sent, f"left_m_{first}": "1"})

    assert refused_page.status_code == 422
    assert "would end 11.00 m from the left" in refused_page.content.decode()
    assert refused_page.context["form"][f"left_m_{first}"].value() == "8"
    assert kept.status_code == 302
    assert Bed.objects.get(pk=first).left_m == 1
