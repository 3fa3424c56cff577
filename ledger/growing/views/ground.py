"""Pages of plots, beds, species and varieties."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_on
from ledger.facts.pages import Link, ListPage, Verb, links_for
from ledger.facts.queries import today

from .. import actions
from ..filters import BedFilter, PlotFilter, SpeciesFilter, VarietyFilter
from ..forms import BedForm, ChangeSpeciesForm, ChangeVarietyForm, PlotForm, RenameForm, SpeciesForm, VarietyForm
from ..models import Bed, Planting, Plot, Species, Variety
from ..queries import areas_in, free_area, overfull_in, unlaid_area
from ..tables import BedTable, PlotTable, SpeciesTable, VarietyTable


class Plots(ListPage):
    """Every plot."""

    model, table_class, filterset_class, title = Plot, PlotTable, PlotFilter, _("Plots")

    def links(self) -> list[Link]:
        return [
            Link(_("Add a plot"), reverse("growing:add_plot"), "field"),
            Link(_("Enter what space costs in a year"), reverse("daybook:set_year_of_space"), "money"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/plot.html#row", **given)


class AddPlot(Verb):
    """Add a plot."""

    form_class, title, may, button = PlotForm, _("Add a plot"), "field", _("Add it")

    def act(self, form: PlotForm, **common: Any) -> Plot:
        return actions.add_plot(**form.given(), **common)


def plot(request: HttpRequest, pk: int) -> HttpResponse:
    """One plot with its beds and what space on it costs."""
    found = get_object_or_404(Plot, pk=pk)
    years = found.cost_object.years_of_space.standing().order_by("-year") if request.user.may("see_costs") else []  # type: ignore[union-attr]
    links = links_for(
        request.user,
        Link(_("Add a bed"), f"{reverse('growing:add_bed')}?plot={pk}", "field"),
        Link(_("Lay out its beds"), reverse("growing:lay_out_beds", args=[pk]), "field"),
        Link(_("Note work on it"), f"{reverse('daybook:note_work')}?spent_on={pk}", "work"),
        Link(_("Start the clock on it"), f"{reverse('daybook:start_clock')}?spent_on={pk}", "work"),
        Link(_("Enter a purchase for it"), f"{reverse('daybook:record_purchase')}?spent_on={pk}", "money"),
        Link(_("Enter its cost for a year"), f"{reverse('daybook:set_year_of_space')}?space={pk}", "money"),
        Link(_("Change its name"), reverse("growing:rename_plot", args=[pk]), "field"),
    )
    on = today()
    about = {
        "plot": found, "beds": found.beds.with_free(on), "years": years, "links": links,
        "standing": Planting.objects.standing_in_beds(on).of_plot(found).whole(),
        "spending": spending_on(found.cost_object, request.user),
    }
    return render(request, "growing/plot.html", about)


class Rename(Verb):
    """Change a name."""

    form_class, title, may, button = RenameForm, _("Change its name"), "field", _("Change it")

    def initial(self) -> dict[str, Any]:
        return {"name": self.subject.name, "seen": self.subject.name}


class RenamePlot(Rename):
    """Change a plot's name."""

    subject_model = Plot

    def act(self, form: RenameForm, **common: Any) -> Plot:
        given = form.given()
        return actions.rename_plot(plot=self.subject, name=given["name"], seen={"name": given["seen"]}, **common)


class Beds(ListPage):
    """Every bed."""

    model, table_class, filterset_class, title = Bed, BedTable, BedFilter, _("Beds")

    def get_queryset(self) -> Any:
        return Bed.objects.of_plots().with_free(today())

    def links(self) -> list[Link]:
        return [Link(_("Add a bed"), reverse("growing:add_bed"), "field")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/bed.html#row", **given)


class AddBed(Verb):
    """Add a bed."""

    form_class, title, may, button = BedForm, _("Add a bed"), "field", _("Add it")

    def initial(self) -> dict[str, Any]:
        """All that is left of the plot it was opened from."""
        number = self.request.GET.get("plot", "")
        plot = Plot.objects.filter(pk=number).first() if number.isdecimal() else None
        left = unlaid_area(plot) if plot else 0
        return {**({"area_m2": left} if left > 0 else {}), **super().initial()}

    def act(self, form: BedForm, **common: Any) -> Bed:
        return actions.add_bed(**form.given(), **common)


def bed(request: HttpRequest, pk: int) -> HttpResponse:
    """One bed: what stands in it, and what stood before."""
    found = get_object_or_404(Bed.objects.of_plots(), pk=pk)
    on = today()
    plantings = Planting.objects.standing().of_bed(found).with_cleared_on().with_stems_cut(on).whole().order_by("-on", "-pk")
    held = areas_in(found)
    links = links_for(
        request.user,
        Link(_("Plant in it"), f"{reverse('growing:plant')}?bed={pk}", "field"),
        Link(_("Change its name"), reverse("growing:rename_bed", args=[pk]), "field"),
    )
    about = {
        "bed": found, "free": free_area(found, on), "overfull": overfull_in(found), "links": links,
        "plantings": [(one, held[one.pk]) for one in plantings],
    }
    return render(request, "growing/bed.html", about)


class RenameBed(Rename):
    """Change a bed's name."""

    subject_model = Bed

    def act(self, form: RenameForm, **common: Any) -> Bed:
        given = form.given()
        return actions.rename_bed(bed=self.subject, name=given["name"], seen={"name": given["seen"]}, **common)


class AllSpecies(ListPage):
    """Every species."""

    model, table_class, filterset_class, title = Species, SpeciesTable, SpeciesFilter, _("Species")

    def links(self) -> list[Link]:
        return [Link(_("Add a species"), reverse("growing:add_species"), "field")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/species.html#row", **given)


class AddSpecies(Verb):
    """Add a species."""

    form_class, title, may, button = SpeciesForm, _("Add a species"), "field", _("Add it")

    def act(self, form: SpeciesForm, **common: Any) -> Species:
        return actions.add_species(**form.given(), **common)


KNOWN_OF_SPECIES = ("name", "botanical", "caution", "stems_per_m2", "days_to_dry", "fresh_moisture_bp", "dry_moisture_bp")


class ChangeSpecies(Verb):
    """Change what is known of a species."""

    form_class, title, may, button = ChangeSpeciesForm, _("Change a species"), "field", _("Change it")
    subject_model = Species

    def initial(self) -> dict[str, Any]:
        one = self.subject
        known = {name: getattr(one, name) for name in KNOWN_OF_SPECIES}
        return {**known, "seen_name": one.name, "seen_caution": one.caution, **super().initial()}

    def act(self, form: ChangeSpeciesForm, **common: Any) -> Species:
        return actions.change_species(species=self.subject, changes=form.changes(), seen=form.seen(), **common)


def species(request: HttpRequest, pk: int) -> HttpResponse:
    """One species with its caution and its varieties."""
    found = get_object_or_404(Species, pk=pk)
    links = links_for(
        request.user,
        Link(_("Add a variety"), f"{reverse('growing:add_variety')}?species={pk}", "field"),
        Link(_("Change what is known of it"), reverse("growing:change_species", args=[pk]), "field"),
    )
    return render(request, "growing/species.html", {"species": found, "varieties": found.varieties.all(), "links": links})


class Varieties(ListPage):
    """Every variety."""

    model, table_class, filterset_class, title = Variety, VarietyTable, VarietyFilter, _("Varieties")

    def get_queryset(self) -> Any:
        return Variety.objects.select_related("species")

    def links(self) -> list[Link]:
        return [Link(_("Add a variety"), reverse("growing:add_variety"), "field")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/variety.html#row", **given)


class AddVariety(Verb):
    """Add a variety."""

    form_class, title, may, button = VarietyForm, _("Add a variety"), "field", _("Add it")

    def act(self, form: VarietyForm, **common: Any) -> Variety:
        return actions.add_variety(**form.given(), **common)


def variety(request: HttpRequest, pk: int) -> HttpResponse:
    """One variety: where it stands and stood, and the lines made of it."""
    found = get_object_or_404(Variety.objects.select_related("species"), pk=pk)
    plantings = Planting.objects.standing().filter(variety=found).with_cleared_on().with_stems_cut(today())
    about = {
        "variety": found, "lines": found.lines.all(),
        "plantings": plantings.whole().order_by("-on", "-pk"),
        "links": links_for(
            request.user,
            Link(_("Plant it"), f"{reverse('growing:plant')}?variety={pk}", "field"),
            Link(_("Its harvest lots"), f"{reverse('growing:lots')}?variety={pk}"),
            Link(_("Its hangings"), f"{reverse('drying:hangings')}?variety={pk}"),
            Link(_("Change its name or colour"), reverse("growing:change_variety", args=[pk]), "field"),
        ),
    }
    return render(request, "growing/variety.html", about)


class ChangeVariety(Verb):
    """Change a variety's name or colour."""

    form_class, title, may, button = ChangeVarietyForm, _("Change its name or colour"), "field", _("Change it")
    subject_model = Variety

    def initial(self) -> dict[str, Any]:
        one = self.subject
        return {"name": one.name, "colour": one.colour, "seen_name": one.name, "seen_colour": one.colour}

    def act(self, form: ChangeVarietyForm, **common: Any) -> Variety:
        given = form.given()
        seen = {"name": given.pop("seen_name"), "colour": given.pop("seen_colour")}
        return actions.change_variety(variety=self.subject, changes=given, seen=seen, **common)
