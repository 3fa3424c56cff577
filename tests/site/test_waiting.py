"""Entries that wait without signal: what the server tells the script, and which forms may wait."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.forms import VerbForm
from ledger.facts.models import User
from ledger.growing.models import Plot
from tests.factories.sales import ORDERED, order_of, ready
from tests.factories.stock import batch_of
from tests.walking import VerbPage, verb_pages

KEY = "0123456789abcdef0123456789abcdef"
PAGES = sorted(verb_pages(), key=lambda page: page.name)
CANNOT_WAIT = {
    "books:close", "books:reopen", "facts:add_person", "facts:change_holding", "facts:change_person", "facts:set_tax_rate",
    "facts:set_tax_status",
}
DONE_OUTSIDE = {
    "growing:cut", "growing:cut_round", "growing:throw_out", "growing:draw_stems", "growing:came_in_dry", "growing:plant",
    "drying:hang", "drying:take_down", "drying:take_down_round", "drying:note_reading", "drying:move_hanging",
    "stock:make_run", "stock:new_box", "stock:move", "stock:draw", "stock:write_off", "stock:count_box",
    "sales:sell", "sales:count_tin", "sales:open_stall_day", "sales:pack", "daybook:note_work", "daybook:start_clock",
    "daybook:stop_clock",
}
SAID_OF_ORDERS = {
    "sales:change_order", "sales:ask_more", "sales:cancel", "sales:cancel_order", "sales:fill", "sales:come_later",
    "sales:stand_in", "sales:substitute", "sales:set_order_terms", "sales:set_pack_rule", "stock:end_take",
}
FORM = re.compile(r'<form method="post"[^>]* class="verb[^>]*>')


def plot(**more):
    """A filled-in form for a plot."""
    return {"form_key": KEY, "name": "Far field", "kind": "open", "area_m2": "40.00", "on": "2025-03-01", **more}


def test_here_says_who_is_signed_in(owner, client_as):
    """The person by key, nothing kept by the browser."""
    answer = client_as(owner).get(reverse("here"))

    assert answer.json()["user"] == str(owner.pk)
    assert "no-store" in answer.headers["Cache-Control"]


def test_the_token_it_gives_is_the_one_a_form_must_carry(owner):
    """A form whose page is long gone is taken with the token of now, and with no other."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    token = client.get(reverse("here")).json()["token"]

    assert client.post(reverse("growing:add_plot"), plot(csrfmiddlewaretoken="x" * 64)).status_code == 403
    assert client.post(reverse("growing:add_plot"), plot(csrfmiddlewaretoken=token)).status_code == 302


def test_here_changes_nothing(owner, client_as):
    """It is asked, never told."""
    assert client_as(owner).post(reverse("here")).status_code == 405


def test_a_script_is_told_that_nobody_is_signed_in(holding):
    """Where the answer leads to the door, the script reads so."""
    answer = Client().get(reverse("here"), headers={"Waiting": "now"})

    assert answer.status_code == 204
    assert answer.headers["Led-To"].startswith(reverse("sign_in"))


def test_a_script_is_told_where_its_entry_leads(owner, client_as):
    """The person who waits for the answer goes on to the record and reads that it was recorded."""
    client = client_as(owner)
    answer = client.post(reverse("growing:add_plot"), plot(), headers={"Waiting": "now"})

    assert (answer.status_code, answer.headers["Led-To"]) == (204, Plot.objects.get().get_absolute_url())
    assert "Recorded." in client.get(answer.headers["Led-To"]).content.decode()


def test_an_entry_that_waited_leaves_no_sentence_for_another_page(owner, client_as):
    """Whoever has gone on to other things reads no "Recorded." there."""
    client = client_as(owner)
    answer = client.post(reverse("growing:add_plot"), plot(), headers={"Waiting": "later"})

    assert answer.status_code == 204
    assert "Recorded." not in client.get(reverse("today")).content.decode()


@pytest.mark.parametrize("headers", [{}, {"Waiting": "whenever"}])
def test_a_browser_is_sent_on_as_ever(owner, client_as, headers):
    """Nobody else is answered so."""
    assert client_as(owner).post(reverse("growing:add_plot"), plot(), headers=headers).status_code == 302


def test_a_refusal_comes_as_its_page(owner, client_as):
    """What is not accepted is answered with the reasons."""
    answer = client_as(owner).post(reverse("growing:add_plot"), plot(area_m2="none"), headers={"Waiting": "later"})

    assert answer.status_code == 422
    assert 'class="refused"' in answer.content.decode()


def test_an_entry_sent_twice_counts_once(owner, client_as):
    """Sent again because the answer was lost, it leads to what it made."""
    client = client_as(owner)
    ends = [client.post(reverse("growing:add_plot"), plot(), headers={"Waiting": "later"}).headers["Led-To"] for _again in "12"]

    assert ends[0] == ends[1]
    assert Plot.objects.count() == 1


def test_every_page_names_whose_entries_it_may_send(owner, client_as):
    """The signed-in person's page knows the person, the door nobody."""
    assert f'data-user="{owner.pk}"' in client_as(owner).get(reverse("waiting")).content.decode()
    assert 'data-user=""' in Client().get(reverse("sign_in")).content.decode()


def test_people_taxes_and_closing_cannot_wait():
    """No password lies on a device, and no year is closed behind somebody's back."""
    assert {page.name for page in PAGES if not page.view.form_class.waits} >= CANNOT_WAIT


def test_what_is_done_in_field_loft_store_and_stall_waits():
    """Where there is no signal, the work goes on."""
    assert {page.name for page in PAGES if page.view.form_class.waits} >= DONE_OUTSIDE


def test_what_is_said_of_orders_and_the_end_of_a_stock_take_wait():
    """They are said on the telephone, or in the loft after the last box."""
    assert {page.name for page in PAGES if page.view.form_class.waits} >= SAID_OF_ORDERS


@pytest.mark.parametrize("where", ["its order", "the list of lines that could be filled"])
def test_every_press_that_fills_a_line_waits_and_says_what_it_does(owner, client_as, where):
    """Three of 23 lack and five more come: promised or cancelled, each named for the list of what waits."""
    stock = ready(20)
    order = order_of(stock, 23, promised=20)
    batch_of(stock.line, 5, on=ORDERED, box=stock.box)
    address = order.get_absolute_url() if where == "its order" else reverse("sales:lacking")
    presses = re.findall(r'<form method="post" action="/sales/[^>]*>', client_as(owner).get(address).content.decode())

    assert f'data-waits data-says="{stock.line}: Promise 3"' in presses[0]
    assert all("data-waits data-says=" in press for press in presses)


def wrong_with(client: Client, page: VerbPage) -> str:
    """What is wrong with how the page's form, sent empty and so refused, says whether it waits."""
    for url in page.addresses():
        shown = client.post(url)
        form = shown.context["form"] if shown.status_code == 422 else None
        tags = FORM.findall(shown.content.decode())
        if isinstance(form, VerbForm) and tags:
            waits = form.waits and not form.is_multipart()
            return "" if [("data-waits" in tag) for tag in tags] == [waits] else f"{url}: {tags}"
    return "no form found"


@pytest.mark.django_db
def test_every_form_says_whether_it_waits(plenty, signed_in):
    """A form that lacks the mark would be lost without signal."""
    client = signed_in(User.objects.get(role="owner"))

    assert {page.name: said for page in PAGES if (said := wrong_with(client, page))} == {}
