"""Pages of rework, making up, buying in, and bunches that come down as bunches."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.drying.models import Hanging
from ledger.drying.queries import stems_still_up
from ledger.facts.pages import Verb
from ledger.facts.queries import today
from ledger.growing.models import Lot
from ledger.stock import actions
from ledger.stock.forms import BringDownForm, BuyInForm, MakeUpForm, RecipeFor, ReworkForm, key_of
from ledger.stock.models import Content, Line, Recipe, Run
from ledger.stock.queries import Loose, Taken, from_recipe, loose_stems


def begun(kind: str, number: str, taken: list[tuple[Any, int]]) -> dict[str, Any]:
    """Rows of a kind as the empty form already says them."""
    rows: dict[str, Any] = {}
    for row, (thing, many) in enumerate(taken, start=1):
        rows.update({f"{kind}_{row}": key_of(thing), f"{number}_{row}": many})
    return rows


class Using(Verb):
    """A verb that takes bunches, loose stems and materials; `?box=` or `?batch=` narrows the bunches offered."""

    may = "boxes"

    @cached_property
    def loose(self) -> list[Loose]:
        """All loose stems there are today."""
        return loose_stems(today())

    def places(self) -> list[Content]:
        """The bunches offered: not those packed for orders, and held back ones only where their box is named."""
        places = Content.objects.there().out_of_parcels()
        named = {name: self.request.GET.get(name, "") for name in ("box", "batch")}
        asked = {name: int(typed) for name, typed in named.items() if typed.isdecimal()}
        return list(places.filter(**asked) if asked else places.not_held_back(today()))

    def form_given(self) -> dict[str, Any]:
        materials = Material.objects.filter(by_count=False)
        return {"places": self.places(), "sources": self.loose, "materials": list(materials), "lines": Line.objects.whole()}


class Rework(Using):
    """Work bunches and loose stems into another line."""

    form_class, title, button = ReworkForm, _("Rework"), _("Reworked")
    template_name = "stock/rework.html"
    intro = _("Dyed, bleached, preserved, split, banded anew, made seconds: bunches or loose stems of one line in, another out.")

    def initial(self) -> dict[str, Any]:
        places = self.places() if self.request.GET else []
        only = [(place, place.bunches) for place in places] if len(places) == 1 else []
        return {**begun("content", "bunches", only), **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {**super().form_given(), "with_values": self.request.user.may("prices")}  # type: ignore[union-attr]

    def act(self, form: ReworkForm, **common: Any) -> Run:
        given = form.given()
        return actions.rework(
            on=given["on"], outputs=form.outputs(), lost=given["lost"] or 0, note=given["note"], **form.used(), **common
        )


class MakeUp(Using):
    """Make goods up: `?line=` and `?made=` fill the page in from the recipe, to be changed freely."""

    form_class, title, button = MakeUpForm, _("Make up"), _("Made up")
    template_name = "stock/make_up.html"

    @cached_property
    def asked(self) -> RecipeFor:
        """What is to be made, as asked in the address."""
        made_up = Line.objects.whole().made_up(today())
        return RecipeFor(self.request.GET or None, lines=made_up if made_up.exists() else Line.objects.whole())

    @cached_property
    def recipe(self) -> Recipe | None:
        """The recipe of what is asked for, None where there is none."""
        if not (self.request.GET and self.asked.is_valid()):
            return None
        return Recipe.objects.in_force(today()).filter(line=self.asked.cleaned_data["line"]).first()

    @cached_property
    def taken(self) -> Taken:
        """What the recipe takes for so many."""
        if self.recipe is None:
            return Taken()
        return from_recipe(self.recipe, self.asked.cleaned_data["made"], today(), self.loose)

    def initial(self) -> dict[str, Any]:
        if not (self.request.GET and self.asked.is_valid()):
            return super().initial()
        return {
            **begun("content", "bunches", self.taken.contents), **begun("source", "loose", self.taken.sources),
            **begun("material", "quantity", self.taken.materials),
            "line_1": self.asked.cleaned_data["line"].pk, "made_1": self.asked.cleaned_data["made"],
        }

    def form_given(self) -> dict[str, Any]:
        lots = Lot.objects.in_water(today()).select_related("planting__variety__species")
        return {**super().form_given(), "lots": list(lots)}

    def context(self) -> dict[str, Any]:
        chosen = bool(self.request.GET) and self.asked.is_valid()
        return {"asked": self.asked, "chosen": chosen, "recipe": self.recipe, "missing": self.taken.missing}

    def act(self, form: MakeUpForm, **common: Any) -> Run:
        given = form.given()
        return actions.make_up(
            on=given["on"], outputs=form.outputs(), fresh=form.given_of("lot"), note=given["note"], **form.used(), **common
        )


class BuyIn(Verb):
    """Buy bunches in at what they cost."""

    form_class, title, may, button = BuyInForm, _("Buy in"), "money", _("Bought in")
    template_name = "stock/buy_in.html"
    intro = _("Bunches of somebody else, at what was paid for them. Where several lines share one price, give each a value.")

    def form_given(self) -> dict[str, Any]:
        return {"lines": Line.objects.whole()}

    def act(self, form: BuyInForm, **common: Any) -> Run:
        given = form.given()
        about = {name: given[name] for name in ("on", "supplier", "reference", "net", "kind", "note")}
        return actions.buy_in(outputs=form.outputs(), tax=given["tax"] or 0, **about, **common)


class BringDownBunches(Verb):
    """Bring down bunches that were hung as bunches."""

    form_class, title, may, button = BringDownForm, _("Bring down bunches"), "boxes", _("Brought down")
    subject_model = Hanging
    template_name = "stock/bring_down.html"

    def _lines(self) -> Any:
        variety = self.subject.parting.lot.planting.variety_id
        return Line.objects.whole().of_varieties({variety}).filter(stems=self.subject.bunch_stems)

    def initial(self) -> dict[str, Any]:
        each = self.subject.bunch_stems
        first = self._lines().filter(variety__isnull=False).first()
        up = stems_still_up(self.subject) // each if each else None
        return {"bunches": up or None, "line": first and first.pk, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {"hanging": self.subject, "lines": self._lines()}

    def context(self) -> dict[str, Any]:
        return {"none": not self._lines().exists(), "add_line": reverse("stock:add_line")}

    def act(self, form: BringDownForm, **common: Any) -> Run:
        given = form.given()
        about = {name: given[name] for name in ("on", "line", "bunches", "box")}
        return actions.bring_down_bunches(hanging=self.subject, losses=form.losses(), **about, **common)
