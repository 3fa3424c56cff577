"""The first page: what wants doing, and the way through."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.urls import resolve, reverse

from grower import today, way
from ledger.growing.actions import add_plot


def test_today_shows_what_the_stages_say(owner, client_as, monkeypatch):
    """A stage's sentence stands on Today with its address."""
    note = today.Note("Two boxes want counting", "/stock/boxes/")
    monkeypatch.setattr(today, "notes", lambda user, on: [note])

    page = client_as(owner).get(reverse("today")).content.decode()

    assert '<a href="/stock/boxes/">Two boxes want counting</a>' in page


def test_selling_at_a_market_comes_first(owner, monkeypatch):
    """The other way to sell then says that it is elsewhere, and names no place."""
    on = date(2025, 5, 1)
    assert ("Sell", reverse("sales:sell")) in [(str(link.label), link.url) for link in today.usual(owner, on)]
    stage = SimpleNamespace(markets=lambda user, on: [("Sell at Quay market", "/there/")])
    monkeypatch.setattr(today, "find_spec", lambda name: name == "ledger.sales.today")
    monkeypatch.setattr(today, "import_module", lambda name: stage)

    links = [(str(link.label), link.url) for link in today.usual(owner, on)]

    assert links[0] == ("Sell at Quay market", "/there/")
    assert ("Sell elsewhere", reverse("sales:sell") + "?way=") in links and "Sell" not in dict(links)


def test_notes_are_asked_for_the_person_and_the_day(owner, monkeypatch):
    """Each stage is asked once, with who and when."""
    stage = SimpleNamespace(notes=lambda user, on: [(f"{user} on {on}", "/")])
    monkeypatch.setattr(today, "find_spec", lambda name: name == "ledger.stock.today")
    monkeypatch.setattr(today, "import_module", lambda name: stage)

    assert today.notes(owner, date(2025, 5, 1)) == [today.Note("owner on 2025-05-01", "/")]


def test_what_takes_long_is_left_for_later(owner, monkeypatch):
    """A stage may have only that to say, or nothing of it."""
    said = {"stock": ("notes", "now"), "books": ("later", "soon")}
    stages = {stage: SimpleNamespace(**{what: lambda user, on, says=says: [(says, "/")]}) for stage, (what, says) in said.items()}
    monkeypatch.setattr(today, "find_spec", lambda name: name.split(".")[1] in stages)
    monkeypatch.setattr(today, "import_module", lambda name: stages[name.split(".")[1]])
    on = date(2025, 5, 1)

    assert [[note.says for note in of(owner, on)] for of in (today.notes, today.later)] == [["now"], ["soon"]]


def test_a_hand_is_not_shown_the_way_to_money(hand, client_as):
    """The way holds only what the role may open."""
    page = client_as(hand).get(reverse("today")).content.decode()

    assert "Purchases" not in page
    assert reverse("costing:overheads") not in page


def test_the_way_marks_where_one_stands(owner, client_as):
    """The word of this page is marked, its lists stand under it."""
    page = client_as(owner).get(reverse("facts:people")).content.decode()

    assert 'aria-current="page">People</a>' in page


@pytest.mark.parametrize(("page", "word"), [
    ("stock:new_box", "boxed"), ("stock:make_run", "bunched"), ("growing:cut_round", "cut"), ("growing:plant", "bed"),
    ("sales:take_order", "sold"), ("daybook:start_clock", "daybook"),
])
def test_a_page_stands_where_its_list_does(page, word):
    """A page that is no list is marked at the word whose list leads to it."""
    address = reverse(page)

    assert way._standing_at(SimpleNamespace(path=address, resolver_match=resolve(address))) == word


def test_every_list_of_the_way_is_there():
    """The way names no page that does not exist."""
    for _word, lists in (*way.STEM, *way.BESIDE):
        for _label, name, _may in lists:
            assert reverse(name).startswith("/")


def test_every_usual_work_is_there():
    """Today names no page that does not exist."""
    for _label, name, _may in today.USUAL:
        assert reverse(name).startswith("/")


def test_a_newcomer_is_shown_the_next_first_step(owner, client_as):
    """Today leads from the plot to the bed, one step at a time."""
    empty = client_as(owner).get(reverse("today")).content.decode()
    add_plot(by=owner, name="Long field", kind="open", area_m2=Decimal(100))
    begun = client_as(owner).get(reverse("today")).content.decode()

    assert f'<a href="{reverse("growing:add_plot")}">Begin with the ground' in empty
    assert f'<a href="{reverse("growing:add_bed")}">Lay out the first bed' in begun
    assert "Begin with the ground" not in begun
