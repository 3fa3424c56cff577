"""What the page of packing says: what to take care of, what can be taken nowhere, and how much of something else is proposed."""

from datetime import date

from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.queries.picking import lines_to_pick, not_to_be_found, picks
from ledger.stock.actions import write_off
from tests.factories.growing import SpeciesFactory, VarietyFactory
from tests.factories.sales import ORDERED, Ready, order_of, ready
from tests.factories.stock import BoxFactory, LineFactory, batch_of
from tests.filling import read

NEXT = date(2024, 9, 2)


def not_found(order) -> list[tuple[int, int, int]]:
    """(missing, elsewhere, free) of what of an order can be taken nowhere."""
    return [(one.missing, one.elsewhere, one.free) for one in not_to_be_found(lines_to_pick(order), picks(order))]


def short_of_two(owner: User) -> tuple[Ready, object, object]:
    """Ten bunches: six promised first, four next; two written off leave the later order two short."""
    stock = ready(10)
    first, later = order_of(stock, 6), order_of(stock, 4)
    write_off(by=owner, on=NEXT, batch=stock.batch, box=stock.box, bunches=2, reason="mould")
    return stock, first, later


def test_what_is_kept_for_others_is_not_said_to_be_on_no_shelf(owner: User, client_as) -> None:
    """Two are short, and the six beside the two proposed are promised to another."""
    _stock, first, later = short_of_two(owner)
    assert not_found(first) == [] and not_found(later) == [(2, 6, 0)]
    shown = read(client_as(owner), reverse("sales:pack", args=[later.pk]))
    assert "cannot be taken: the 6 there are kept for others." in shown and "on no shelf" not in shown


def test_what_is_free_again_is_to_be_promised_first(owner: User, client_as) -> None:
    """Three more are made: three are free, and the page leads to the order."""
    stock, _first, later = short_of_two(owner)
    batch_of(stock.line, 3, on=date(2024, 9, 3), box=BoxFactory())
    assert not_found(later) == [(2, 9, 3)]
    shown = read(client_as(owner), reverse("sales:pack", args=[later.pk]))
    assert "were left short, and 3 are free now: promise them first." in shown
    assert f"{later.get_absolute_url()}#lacks" in shown


def test_what_is_nowhere_is_on_no_shelf(owner: User, client_as) -> None:
    """Two of ten written off, nothing else there."""
    stock = ready(10)
    order = order_of(stock, 10)
    write_off(by=owner, on=NEXT, batch=stock.batch, box=stock.box, bunches=2, reason="mould")
    assert not_found(order) == [(2, 0, 0)]
    assert "are on no shelf." in read(client_as(owner), reverse("sales:pack", args=[order.pk]))


def test_something_else_is_proposed_for_what_lacks_only(owner: User, client_as) -> None:
    """Forty asked, 29 promised and on the shelf: eleven; and two where two were left short."""
    page = "sales:substitute"
    line = order_of(ready(29), 40, promised=29).lines.get()
    assert 'name="bunches" value="11"' in client_as(owner).get(reverse(page, args=[line.pk])).content.decode()
    short = short_of_two(owner)[2].lines.get()
    assert 'name="bunches" value="2"' in client_as(owner).get(reverse(page, args=[short.pk])).content.decode()


def test_the_page_says_what_to_take_care_of(hand: User, client_as) -> None:
    """As its paper does: larkspur is poisonous."""
    species = SpeciesFactory(caution="Poisonous: wear gloves.")
    line, box = LineFactory(variety=VarietyFactory(species=species)), BoxFactory()
    stock = Ready(line, batch_of(line, 5, box=box), box, ready(1).way)
    order = order_of(stock, 5, on=ORDERED)
    assert "Poisonous: wear gloves." in read(client_as(hand), reverse("sales:pack", args=[order.pk]))
