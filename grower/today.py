"""What wants doing today, collected from every stage, and the ways to the day's usual work."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.pages import Link, links_for
from ledger.facts.queries import today

STAGES = ("daybook", "growing", "drying", "stock", "costing", "pricing", "sales", "books")
USUAL = [
    (_("Cut a lot"), "growing:cut", "field"),
    (_("Cut round the beds"), "growing:cut_round", "field"),
    (_("Hang stems up"), "drying:hang", "loft"),
    (_("Bunch"), "stock:make_run", "boxes"),
    (_("Sell"), "sales:sell", "selling"),
    (_("Take an order"), "sales:take_order", "selling"),
    (_("Note work"), "daybook:note_work", "work"),
    (_("The clock"), "daybook:clocks", "work"),
]


@dataclass(frozen=True)
class Note:
    """One thing that wants doing, and where to do it."""

    says: Any
    url: str


def show(request: HttpRequest) -> HttpResponse:
    """The first page after sign-in."""
    on, user = today(), request.user
    assert isinstance(user, User)
    about = {"on": on, "notes": notes(user, on), "later": later(user, on), "links": usual(user, on)}
    return render(request, "site/today.html", about)


def usual(user: User, on: date) -> list[Link]:
    """The ways to the day's usual work; where a market is open, selling there comes first and the other says “elsewhere”."""
    markets = [Link(note.says, note.url) for note in _asked("markets", user, on)]
    rest = [Link(label, reverse(name), may) for label, name, may in USUAL]
    sell = reverse("sales:sell")
    elsewhere = Link(_("Sell elsewhere"), f"{sell}?way=", "selling")
    return [*markets, *links_for(user, *(elsewhere if markets and link.url == sell else link for link in rest))]


def notes(user: User, on: date) -> list[Note]:
    """What every stage has to say to this person, in the order of the path."""
    return _asked("notes", user, on)


def later(user: User, on: date) -> list[Note]:
    """What takes a stage a while to find: where it is told, as items of a list to a page that asks for them alone."""
    return _asked("later", user, on)


def _asked(what: str, user: User, on: date) -> list[Note]:
    names = [f"ledger.{stage}.today" for stage in STAGES]
    modules = [import_module(name) for name in names if find_spec(name)]
    return [Note(says, url) for module in modules if hasattr(module, what) for says, url in getattr(module, what)(user, on)]
