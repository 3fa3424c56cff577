"""The pages of pricing."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.pricing.models import Price, Way, WayTerms
from tests.factories.pricing import PriceFactory, StallFactory, TermsFactory
from tests.factories.stock import LineFactory
from tests.sales.forms import fill, shown

SignIn = Callable[[User], Client]


def test_the_price_list_shows_prices_in_force_and_the_line_all_of_them(owner: User, client_as: SignIn) -> None:
    """5.50 until June, 6.00 since: the list says 6.00, the line's page both."""
    old = PriceFactory(amount=550)
    new = set_price(by=owner, way=old.way, line=old.line, on=date(2024, 6, 1), amount=600)
    client = client_as(owner)

    listed = client.get(reverse("pricing:prices")).content.decode()
    line = client.get(reverse("pricing:line", args=[old.line.pk])).content.decode()

    assert "6.00" in listed and "5.50" not in listed
    assert all(word in line for word in ("6.00", "5.50", "in force", "before", reverse("pricing:undo_price", args=[new.pk])))


def test_the_list_filters_by_way(owner: User, client_as: SignIn) -> None:
    """Only that way's prices are left."""
    one = PriceFactory(amount=550)
    PriceFactory(amount=777)
    page = client_as(owner).get(reverse("pricing:prices"), {"way": one.way.pk}).content.decode()
    assert "5.50" in page and "7.77" not in page


def test_a_price_is_set_from_what_stands(owner: User, client_as: SignIn) -> None:
    """The form begins with line, way and present price; the new one holds."""
    old = PriceFactory(amount=550)
    url = f"{reverse('pricing:set_price')}?line={old.line.pk}&way={old.way.pk}"
    assert shown(client_as(owner), url)["amount"] == "5.50"

    looked = fill(client_as(owner), url, on="2024-06-01", amount="6", look="yes")
    fill(client_as(owner), url, on="2024-06-01", amount="6", seen=looked.context["seen"])

    assert Price.objects.latest("pk").amount == 600


def test_a_wrong_price_keeps_what_was_typed(owner: User, client_as: SignIn) -> None:
    """Below zero, nothing, or no number at all is refused beside the field."""
    url = f"{reverse('pricing:set_price')}?line={LineFactory().pk}&way={StallFactory().pk}"
    for typed in ("-1", "0", "dear"):
        answer = fill(client_as(owner), url, amount=typed)
        assert answer.status_code == 422 and "amount" in answer.context["form"].errors
        assert f'value="{typed}"' in answer.content.decode()


def test_a_way_from_its_adding_to_its_terms(owner: User, client_as: SignIn) -> None:
    """Added, named anew, given terms twice (the second form begins with the first), one undone."""
    client = client_as(owner)
    url = fill(client, reverse("pricing:add_way"), name="Stall", kind="stall").headers["Location"]
    way = Way.objects.get()
    fill(client, reverse("pricing:change_way", args=[way.pk]), name="Market stall")
    terms = reverse("pricing:set_terms", args=[way.pk])
    fill(client, terms, on="2024-01-01", fixed_day="40", usual_takings="200", margin_bp="35", ending="0.50")
    assert shown(client, terms)["margin_bp"] == "35.00"
    fill(client, terms, on="2024-06-01", fee_bp="1.75")
    page = client.get(url).content.decode()
    assert "Market stall" in page and "1.75 %" in page and "0.50" in page

    last = WayTerms.objects.latest("pk")
    assert (last.fee_bp, last.margin_bp, last.ending) == (175, 3500, 50)
    assert fill(client, reverse("pricing:undo_terms", args=[last.pk])).headers["Location"] == url


def test_prices_are_undone_on_a_page(owner: User, client_as: SignIn) -> None:
    """The page leads back to the line's prices."""
    price = PriceFactory()
    answer = fill(client_as(owner), reverse("pricing:undo_price", args=[price.pk]))
    assert answer.headers["Location"] == reverse("pricing:line", args=[price.line.pk])
    assert "undone" in client_as(owner).get(answer.headers["Location"]).content.decode()


def test_a_hand_sees_no_prices(hand: User, owner: User, client_as: SignIn) -> None:
    """Prices are money: none of it for a hand."""
    price = PriceFactory()
    for name, args in (("prices", []), ("ways", []), ("way", [price.way.pk]), ("line", [price.line.pk]), ("set_price", [])):
        assert client_as(hand).get(reverse(f"pricing:{name}", args=args)).status_code == 403


def test_a_bookkeeper_sees_prices_and_sets_none(bookkeeper: User, owner: User, client_as: SignIn) -> None:
    """The lists open; the verbs do not, nor are they offered."""
    TermsFactory()
    client = client_as(bookkeeper)
    assert reverse("pricing:add_way") not in client.get(reverse("pricing:ways")).content.decode()
    assert client.get(reverse("pricing:set_price")).status_code == 403


@pytest.mark.parametrize("name", ["prices", "ways"])
def test_lists_ask_as_often_for_many_rows_as_for_few(
    name: str, owner: User, client_as: SignIn, django_assert_max_num_queries: Callable
) -> None:
    """The number of queries does not grow with the rows."""
    PriceFactory.create_batch(4)
    client = client_as(owner)
    with django_assert_max_num_queries(14):
        client.get(reverse(f"pricing:{name}"))
