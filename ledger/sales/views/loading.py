"""Pages of what goes along to a stall day, is put down to seconds there, and comes back from it."""

from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as now
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostKind
from ledger.facts.pages import Link, Undo, Verb
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.forms import BackForm, LoadForm, SecondsForm
from ledger.sales.models import Sale, StallBack, StallDay, StallLoad
from ledger.sales.queries.loading import came_back, last_time, lines_along, loads_of, to_load
from ledger.stock.models import Line
from ledger.stock.queries import cautions_for

from .seeing import SEES_TAKINGS, require


def loading_links(day: StallDay, back: StallBack | None) -> list[Link]:
    """What is done at a stall day with goods; once all is put away only selling is left."""
    selling = [
        Link(_("Sell"), f"{reverse('sales:sell')}?stall_day={day.pk}", "selling"),
        Link(_("Sell damaged ones as seconds"), f"{reverse('sales:sell_as_seconds')}?stall_day={day.pk}", "selling"),
    ]
    return selling if back else [
        *selling,
        Link(_("Load boxes"), reverse("sales:load_boxes", args=[day.pk]), "selling"),
        Link(_("Loading list as paper"), reverse("sales:loading_list_paper", args=[day.pk]), SEES_TAKINGS),
        Link(_("Put away what came back"), reverse("sales:bring_back", args=[day.pk]), "selling"),
    ]


def pitch_link(day: StallDay) -> Link:
    """The way to enter the day's pitch, all but the amount filled in."""
    kind = CostKind.objects.filter(code="fees").values_list("pk", flat=True).first()
    said = {
        "spent_on": day.pk, "on": day.on, "supplier": day.name, "description_0": now("Pitch"), "kind_0": kind or "",
        "spent_on_0": day.pk,
    }
    return Link(_("Enter the pitch fee"), f"{reverse('daybook:record_purchase')}?{urlencode(said)}", "money")


def back_of(day: StallDay) -> StallBack | None:
    """What was put away after a stall day, with what was done row by row."""
    rows = ("rows__count__box", "rows__movement__batch__line__variety__species", "rows__parting__lot__planting__variety__species")
    return StallBack.objects.standing().filter(stall_day=day).prefetch_related(*rows).first()


class LoadBoxes(Verb):
    """The loading list: a tick for each box, in walking order of shelves."""

    form_class, subject_model, may = LoadForm, StallDay, "selling"
    title, button, done = _("Load boxes"), _("Loaded"), _("Loaded.")
    template_name = "sales/load_boxes.html"

    def form_given(self) -> dict[str, Any]:
        return {"loads": to_load(self.subject)}

    def context(self) -> dict[str, Any]:
        return {"loaded": loads_of(self.subject), "last_time": last_time(self.subject)}

    def act(self, form: LoadForm, **common: Any) -> Any:
        return actions.load_boxes(stall_day=self.subject, boxes=form.boxes(), **common)

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()


def loading_list_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The loading list as paper: what is loaded, and what could be."""
    require(request, SEES_TAKINGS)
    day = get_object_or_404(StallDay.objects.whole(), pk=pk)
    loads = [*loads_of(day), *to_load(day)]
    loads.sort(key=lambda load: (load.box.shelf, load.box.code))
    lines = [one.line for load in loads for one in load.inside]
    about = {"stall_day": day, "loads": loads, "last_time": last_time(day), "cautions": cautions_for(lines)}
    return paper(request, "print/loading_list.html", about, f"loading-list-{day.pk}.pdf")


class UndoLoad(Undo):
    """Leave a box at home after all."""

    subject_model, may, fact_name = StallLoad, "selling", "stall_load"
    undoing = staticmethod(actions.undo_load)


class SellAsSeconds(Verb):
    """Damaged bunches put down to seconds and sold; `?stall_day=` at a market, else `?way=`."""

    form_class, title, may, button = SecondsForm, _("Sell damaged ones as seconds"), "selling", _("Sold")
    intro = _("They leave the firsts, become seconds and are sold, in one step; undoing the sale undoes all of it.")

    def find_subject(self) -> None:
        typed = self.request.GET.get("stall_day", "")
        days = StallDay.objects.standing().select_related("way")
        self.subject = get_object_or_404(days, pk=int(typed)) if typed.isdecimal() else None
        ways = Way.objects.retail().order_by("pk")
        wanted = self.request.GET.get("way", "")
        self.way = self.subject.way if self.subject else (
            get_object_or_404(ways, pk=int(wanted)) if wanted.isdecimal() else ways.first()
        )
        if self.way is None:
            raise Http404

    def initial(self) -> dict[str, Any]:
        at_stall = {"on": self.subject.on, "beyond_record": True} if self.subject else {"on": today()}
        return {**at_stall, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        along = lines_along(self.subject)
        lines = Line.objects.whole().with_free().filter(grade=Line.Grade.FIRSTS)
        return {"lines": lines.filter(pk__in=along) if along else lines.filter(on_hand__gt=0)}

    def act(self, form: SecondsForm, **common: Any) -> Sale:
        return actions.sell_as_seconds(way=self.way, stall_day=self.subject, **form.given(), **common)


class BringBack(Verb):
    """What came back from a stall day, put away in one step."""

    form_class, subject_model, may = BackForm, StallDay, "selling"
    title, button, done = _("Put away what came back"), _("Put it away"), _("Put away.")
    template_name = "sales/bring_back.html"

    def initial(self) -> dict[str, Any]:
        return {"on": self.subject.on, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        boxes, contents, lots = came_back(self.subject, self._on())
        return {"boxes": boxes, "contents": contents, "lots": lots}

    def _on(self) -> date:
        """The day the form is about: the one typed, else the stall day's own."""
        try:
            return date.fromisoformat(self.request.POST.get("on") or self.request.GET.get("on", ""))
        except ValueError:
            return self.subject.on

    def context(self) -> dict[str, Any]:
        return {"back": back_of(self.subject)}

    def act(self, form: BackForm, **common: Any) -> StallBack:
        return actions.bring_back(
            on=form.cleaned_data["on"], stall_day=self.subject, boxes=form.back_boxes(), stems=form.back_stems(),
            place=form.cleaned_data["place"], why=form.why(), **common,
        )


class UndoBringBack(Undo):
    """Undo what was put away."""

    subject_model, may, fact_name = StallBack, "selling", "stall_back"
    undoing = staticmethod(actions.undo_bring_back)
