"""The page a sale is entered on: at a market what is loaded first, how it is paid beside the press, and on to the next."""

from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.facts.queries import today
from ledger.pricing.actions import set_price
from ledger.sales.actions import Sold, load_boxes, sell
from ledger.sales.models import Sale, StallDay
from tests.factories.drying import LotFactory
from tests.factories.pricing import OfferFactory, StallFactory
from tests.factories.sales import CustomerFactory, Ready, StallDayFactory, ready
from tests.sales.forms import fill, shown

ON, QUERIES = date(2024, 9, 7), 28
SELL = reverse("sales:sell")


@pytest.fixture
def phone(owner: User, client_as: Any) -> Client:
    """The owner's phone."""
    return client_as(owner)


@pytest.fixture
def market(owner: User) -> tuple[StallDay, Ready, Ready]:
    """A market with one box of five loaded at 4.00 and another left at home at 6.00."""
    day, loaded, left = StallDayFactory(), ready(5), ready(6)
    load_boxes(by=owner, stall_day=day, boxes=[loaded.box])
    for stock, amount in ((loaded, 400), (left, 600)):
        set_price(by=owner, way=day.way, line=stock.line, on=date(2024, 1, 1), amount=amount)
    return day, loaded, left


def at(day: StallDay, more: str = "") -> str:
    """The page that sells at a market."""
    return f"{SELL}?stall_day={day.pk}{more}"


def lines_of(rows: Any) -> list[Any]:
    """What the rows are about."""
    return [row.heading for row in rows]


def said(client: Client, url: str) -> str:
    """The sentences a page begins with, as HTML, and the rest of it."""
    return " ".join(client.get(url).content.decode().split())


def test_what_was_not_loaded_is_folded_away(market: Any, phone: Client) -> None:
    """The loaded line first; the other in a fold that is shut."""
    day, loaded, left = market
    form = phone.get(at(day)).context["form"]

    assert lines_of(form.at_hand()) == [loaded.line] and lines_of(form.elsewhere()) == [left.line]
    assert (form.unfolds_elsewhere, form.unfolds_why, form.unfolds_more) == (False, False, False)
    assert '<details class="sift"> <summary>1 line that was not loaded' in said(phone, at(day))


def test_a_sold_out_line_stays_among_what_was_loaded(market: Any, owner: User, phone: Client) -> None:
    """All five sold: it still stands first, with none here."""
    day, loaded, _left = market
    sell(by=owner, on=ON, way=day.way, lines=[Sold(5, line=loaded.line)], stall_day=day)

    row = phone.get(at(day)).context["form"].at_hand()[0]

    assert (row.heading, row.note) == (loaded.line, "0 here, 0 free")


def test_nothing_is_folded_where_nothing_is_loaded(phone: Client) -> None:
    """A market that loads no boxes, and a sale at no market, show every line."""
    day, stock = StallDayFactory(), ready(3)
    for url in (at(day), f"{SELL}?way="):
        form = phone.get(url).context["form"]
        assert lines_of(form.at_hand()) == [stock.line] and form.elsewhere() == []


def test_a_fold_opens_where_something_in_it_is_said(market: Any, phone: Client) -> None:
    """A line left at home, a reason, a customer: named in the address, each opens its own fold."""
    day, _loaded, left = market
    customer = CustomerFactory(trade=False)
    asked = {f"&n_{left.line.pk}=1": "unfolds_elsewhere", "&why=end": "unfolds_why", f"&customer={customer.pk}": "unfolds_more"}
    for more, fold in asked.items():
        form = phone.get(at(day, more)).context["form"]
        assert [one for one in asked.values() if getattr(form, one)] == [fold]


def test_a_refusal_opens_the_fold_it_is_in(market: Any, phone: Client) -> None:
    """A price typed over without a reason, another day, and a wrong price of a line left at home."""
    day, loaded, left = market
    one = {f"n_{loaded.line.pk}": 1}
    wrong = {
        "unfolds_why": {**one, f"price_{loaded.line.pk}": "3.00"}, "unfolds_more": {**one, "on": "2024-09-08"},
        "unfolds_elsewhere": {f"n_{left.line.pk}": 1, f"price_{left.line.pk}": "cheap"},
    }
    for fold, typed in wrong.items():
        answer = fill(phone, at(day), **typed)
        assert answer.status_code == 422
        assert [name for name in wrong if getattr(answer.context["form"], name)] == [fold]
    assert not Sale.objects.exists()


def test_fresh_lots_stand_under_a_heading_of_their_own(market: Any, phone: Client) -> None:
    """On a phone the table's first head is not shown; the heading is."""
    day, _loaded, _left = market
    LotFactory(stems=100)
    page = said(phone, at(day))
    assert page.index("<h2>Fresh, from the lot</h2>") < page.index("1 line that was not loaded")


def test_a_sale_at_a_market_leads_to_the_next(market: Any, phone: Client) -> None:
    """Back on the same page, empty and in cash, which says what was sold, for how much, how paid, and where it stands."""
    day, loaded, _left = market
    answer = fill(phone, at(day), paid="card", **{f"n_{loaded.line.pk}": "2"})
    assert answer.headers["Location"] == at(day)

    page, form = said(phone, at(day)), shown(phone, at(day))

    sale = Sale.objects.get()
    assert f"Sold: 2 × {loaded.line}. Together 8.00, card. <a href=\"{sale.get_absolute_url()}\">" in page
    assert "Recorded." not in page
    assert form["paid"] == "cash" and f"n_{loaded.line.pk}" not in form


def test_the_second_press_leads_there_too(market: Any, phone: Client) -> None:
    """It says again what the first press sold."""
    day, loaded, _left = market
    typed = {**shown(phone, at(day)), f"n_{loaded.line.pk}": "2"}
    assert [phone.post(at(day), typed).headers["Location"] for _press in range(2)] == [at(day), at(day)]
    assert Sale.objects.count() == 1


def test_a_sale_from_a_box_or_of_stems_leads_to_the_whole_market(market: Any, phone: Client) -> None:
    """The next customer buys something else; stems are named by their lot."""
    day, loaded, _left = market
    lot = LotFactory(stems=100)
    page = at(day, f"&box={loaded.box.pk}&n_{loaded.line.pk}=1")
    assert fill(phone, page).headers["Location"] == at(day)
    fill(phone, at(day), **{f"stems_{lot.pk}": "3", f"each_{lot.pk}": "10", f"fresh_{lot.pk}": "4.00"})

    assert f"Sold: 3 × {lot}. Together 12.00, cash." in said(phone, at(day))


def test_a_sale_that_waited_on_a_device_leads_to_itself(market: Any, phone: Client) -> None:
    """The list of what was sent shows the sale, not the form."""
    day, loaded, _left = market
    typed = {**shown(phone, at(day)), f"n_{loaded.line.pk}": "2"}
    answer = phone.post(at(day), typed, headers={"Waiting": "later"})
    assert answer.headers["Led-To"] == Sale.objects.get().get_absolute_url()


def test_the_page_of_a_sale_at_a_market_leads_to_the_next(market: Any, owner: User, phone: Client) -> None:
    """Standing or undone; a sale at no market has no such link."""
    day, loaded, _left = market
    lines = [Sold(1, line=loaded.line)]
    there, gate = (sell(by=owner, on=ON, way=day.way, lines=lines, stall_day=where) for where in (day, None))
    assert at(day) in said(phone, there.get_absolute_url())
    assert SELL not in said(phone, gate.get_absolute_url())


def test_a_row_carries_what_its_sum_is_reckoned_by(market: Any, owner: User, phone: Client) -> None:
    """The list's steps in minor units, the field of its price; and the offers that are open."""
    day, loaded, _left = market
    set_price(by=owner, way=day.way, line=loaded.line, on=date(2024, 1, 1), amount=350, at_least=10)
    steps = f'data-price="price_{loaded.line.pk}" data-steps="1:400 10:350"'
    assert steps in said(phone, at(day)) and 'data-offers=""' in said(phone, at(day))
    offer = OfferFactory(way=day.way, on=date(2024, 1, 1), quantity=3, amount=1000, lines=[loaded.line])
    assert f'data-offers="{offer.pk}:3:1000:{loaded.line.pk}"' in said(phone, at(day))


def test_selling_goes_to_the_market_of_today(owner: User, phone: Client) -> None:
    """From no place said, and from a box it loaded; elsewhere where another way is said, or the box stayed at home."""
    day, loaded, left = StallDayFactory(on=today()), ready(3), ready(3)
    assert phone.get(SELL).headers["Location"] == at(day)
    from_left = f"{SELL}?box={left.box.pk}"
    assert phone.get(from_left).headers["Location"] == f"{from_left}&stall_day={day.pk}"

    load_boxes(by=owner, stall_day=day, boxes=[loaded.box])

    from_loaded = f"{SELL}?box={loaded.box.pk}"
    assert phone.get(from_loaded).headers["Location"] == f"{from_loaded}&stall_day={day.pk}"
    for elsewhere in (from_left, f"{SELL}?way={day.way_id}", f"{SELL}?way="):
        page = said(phone, elsewhere)
        assert "Saturday market is open today" in page and f"?stall_day={day.pk}" in page


def test_between_two_markets_of_today_one_chooses(owner: User, phone: Client) -> None:
    """Both are offered; a box goes to the one that loaded it."""
    days, stock = [StallDayFactory(on=today(), name=name) for name in ("Quay market", "Mill fair")], ready(3)
    page = said(phone, SELL)
    assert all(f"Sell at {day.name}</a>" in page for day in days)
    load_boxes(by=owner, stall_day=days[1], boxes=[stock.box])
    assert f"stall_day={days[1].pk}" in phone.get(f"{SELL}?box={stock.box.pk}").headers["Location"]


def test_a_market_of_another_day_is_not_gone_to(phone: Client) -> None:
    """Yesterday's is over for selling unless it is named."""
    StallDayFactory(on=ON)
    assert phone.get(SELL).status_code == 200


def test_the_page_of_a_market_asks_no_more_for_more_lines(market: Any, phone: Client, django_assert_num_queries: Any) -> None:
    """Ten lines more on the shelves want no question more."""
    day, _loaded, _left = market
    phone.get(at(day))
    with django_assert_num_queries(QUERIES):
        phone.get(at(day))
    for _more in range(10):
        ready(2)
    with django_assert_num_queries(QUERIES):
        phone.get(at(day))


def test_a_stall_day_begins_by_the_one_way_of_the_market_kind(owner: User, phone: Client) -> None:
    """One is chosen already; of two none."""
    one, page = StallFactory(kind="stall"), reverse("sales:open_stall_day")
    StallFactory(kind="gate")
    assert phone.get(page).context["form"]["way"].value() == one.pk
    StallFactory(kind="stall")
    assert phone.get(page).context["form"]["way"].value() is None
