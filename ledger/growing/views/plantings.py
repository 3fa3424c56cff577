"""Pages of plantings."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_on
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import holding, today
from ledger.reckoning.years import season_of

from .. import actions
from ..filters import GoneOverFilter, PlantingFilter
from ..forms import BeginForm, ExpectForm, GoneOverForm, PlantForm
from ..models import Bed, Expectation, GoneOver, Planting
from ..queries import areas_of, free_area, life_on, plants_left
from ..tables import GoneOverTable, PlantingTable
from .story import done_to


class Plantings(ListPage):
    """What stands and stood in the beds."""

    model, table_class, filterset_class, title = Planting, PlantingTable, PlantingFilter, _("Plantings")

    def get_queryset(self) -> Any:
        rows = Planting.objects.standing().with_cleared_on().with_stems_cut(today())
        return rows.whole()

    def links(self) -> list[Link]:
        return [
            Link(_("Plant"), reverse("growing:plant"), "field"),
            Link(_("Begin without a bed"), reverse("growing:begin"), "field"),
            Link(_("Record a cutting"), reverse("growing:cut"), "field"),
            Link(_("Cut round the beds"), reverse("growing:cut_round"), "field"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/planting.html#row", **given)


def planting(request: HttpRequest, pk: int) -> HttpResponse:
    """One planting: its beds, what was done to it, what is expected of it, what was cut from it."""
    on = today()
    rows = Planting.objects.with_cleared_on().with_stems_cut(on)
    found = get_object_or_404(rows.whole(), pk=pk)
    held = areas_of(found, on)
    about = {
        "planting": found, "links": links_for(request.user, *_links(found, held)),
        "beds": [(bed, held[bed.pk]) for bed in Bed.objects.of_plots().filter(pk__in=held)],
        "plants_left": plants_left(found), "life": life_on(found, on), "story": done_to(found),
        "divided_from": found.divided_from.standing().select_related("planting__variety__species", "planting__bed__plot").first(),
        "clearing": found.clearings.standing().first(),
        "expectations": found.expectations.standing().order_by("-on", "-pk"),
        "gone_over": found.gone_over.standing().order_by("-on", "-pk"),
        "lots": found.lots.standing().with_stems_in_water(on).order_by("-on", "-pk"),
        "spending": spending_on(found.cost_object, request.user),
    }
    return render(request, "growing/planting.html", about)


def _links(found: Planting, held: Mapping[int, Decimal]) -> list[Link]:
    if not found.stands:
        return []
    key = [found.pk]
    links = [
        Link(_("Record a cutting"), f"{reverse('growing:cut')}?planting={found.pk}", "field"),
        Link(_("Stems went over uncut"), reverse("growing:note_gone_over", args=key), "field"),
        Link(_("Expect another number"), reverse("growing:expect", args=key), "field"),
        Link(_("Note work on it"), f"{reverse('daybook:note_work')}?spent_on={found.pk}", "work"),
        Link(_("Start the clock on it"), f"{reverse('daybook:start_clock')}?spent_on={found.pk}", "work"),
        Link(_("Use a material for it"), f"{reverse('daybook:use_material')}?spent_on={found.pk}", "work"),
        Link(_("Enter a purchase for it"), f"{reverse('daybook:record_purchase')}?spent_on={found.pk}", "money"),
    ]
    if found.cleared_on is None:
        first = found.origin == Planting.Origin.TRAYS
        out = _planting_out(found)
        links = [*(out if first else []), *links, *_of_perennials(found), *([] if first else out), *_clearing(found, held)]
    return [*links, Link(_("Undo this planting"), reverse("growing:undo_planting", args=key), "field")]


def _planting_out(found: Planting) -> list[Link]:
    if found.origin == Planting.Origin.GATHERED:
        return []
    out = Link(_("Plant it out"), reverse("growing:plant_out", args=[found.pk]), "field")
    spare = Link(_("Throw spare plants away"), reverse("growing:dump_seedlings", args=[found.pk]), "field")
    return [out, spare] if found.origin == Planting.Origin.TRAYS else [out]


def _of_perennials(found: Planting) -> list[Link]:
    if not found.perennial:
        return []
    return [
        Link(_("Cut it over"), reverse("growing:cut_over", args=[found.pk]), "field"),
        Link(_("Divide it"), reverse("growing:divide", args=[found.pk]), "field"),
        Link(_("Estimate its life anew"), reverse("growing:estimate_life", args=[found.pk]), "field"),
    ]


def _clearing(found: Planting, held: Mapping[int, Decimal]) -> list[Link]:
    part = [Link(_("Clear part of it"), reverse("growing:clear_part", args=[found.pk]), "field")] if any(held.values()) else []
    return [*part, Link(_("Clear it"), reverse("growing:clear", args=[found.pk]), "field")]


def without_money(form: Any, user: Any) -> Any:
    """The form, its planned cost taken out for those who see no money."""
    if not user.may("see_costs"):
        del form.fields["planned_cost"]
    return form


class Plant(Verb):
    """Plant a variety in a bed."""

    form_class, title, may, button = PlantForm, _("Plant"), "field", _("Plant it")

    def initial(self) -> dict[str, Any]:
        season = season_of(today(), first_month=holding().season_first_month)
        number = self.request.GET.get("bed", "")
        bed = Bed.objects.filter(pk=number).first() if number.isdecimal() else None
        free = free_area(bed, today()) if bed else 0
        return {"season": season, **({"area_m2": free} if free > 0 else {}), **super().initial()}

    def form(self, sent: Any = None) -> Any:
        return without_money(super().form(sent), self.request.user)

    def act(self, form: PlantForm, **common: Any) -> Planting:
        return actions.plant(**form.given(), **common)


class Begin(Verb):
    """Begin a planting without a bed: in trays, self-sown, gathered."""

    form_class, title, may, button, verb = BeginForm, _("Begin without a bed"), "field", _("Begin it"), "plant"
    intro = _("What is raised in trays takes its beds when it is planted out. What sowed itself or was gathered needs none.")

    def initial(self) -> dict[str, Any]:
        return {"season": season_of(today(), first_month=holding().season_first_month), **super().initial()}

    def act(self, form: BeginForm, **common: Any) -> Planting:
        return actions.plant(**form.given(), **common)


class Expect(Verb):
    """Expect another number of stems."""

    form_class, title, may = ExpectForm, _("What is expected of it"), "field"
    subject_model = Planting

    def initial(self) -> dict[str, Any]:
        latest = self.subject.expectations.standing().order_by("-on", "-pk").first()
        known = {"stems": latest.stems, "season": latest.season} if latest else {"season": self.subject.season}
        return {**known, **super().initial()}

    def form(self, sent: Any = None) -> Any:
        return without_money(super().form(sent), self.request.user)

    def act(self, form: ExpectForm, **common: Any) -> Expectation:
        return actions.expect(planting=self.subject, **form.given(), **common)


class UndoPlanting(Undo):
    """Undo a planting nothing rests on."""

    subject_model, may, fact_name = Planting, "field", "planting"
    undoing = actions.undo_planting


class UndoExpectation(Undo):
    """Undo an expectation."""

    subject_model, may, fact_name = Expectation, "field", "expectation"
    undoing = actions.undo_expectation


BORNE = _("Stems gone over carry no cost of their own: what the planting costs is borne by what is cut of it.")


class AllGoneOver(ListPage):
    """What spoiled in the beds uncut."""

    model, table_class, filterset_class, title, intro = GoneOver, GoneOverTable, GoneOverFilter, _("Gone over in the bed"), BORNE

    def get_queryset(self) -> Any:
        return GoneOver.objects.standing().select_related("planting__variety__species", "planting__bed__plot").prefetch_related(
            "planting__planted_out__bed__plot"
        )

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/gone_over.html#row", **given)


class NoteGoneOver(Verb):
    """Note stems that spoiled uncut."""

    form_class, title, may, button = GoneOverForm, _("Stems went over uncut"), "field", _("Gone over")
    intro, subject_model = BORNE, Planting

    def act(self, form: GoneOverForm, **common: Any) -> GoneOver:
        return actions.note_gone_over(planting=self.subject, **form.given(), **common)


class UndoGoneOver(Undo):
    """Undo that stems went over."""

    subject_model, may, fact_name = GoneOver, "field", "gone_over"
    undoing = actions.undo_gone_over
