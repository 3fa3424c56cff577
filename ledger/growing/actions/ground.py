"""Plots and beds, species and varieties."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details
from ledger.facts.models import User
from ledger.facts.writing import action, keep, open_cost_object, refusal

from ..models import Bed, Plot, Species, Variety
from ..queries import unlaid_area


@action("field")
def add_plot(*, by: User, name: str, kind: str, area_m2: Decimal, wide_m: Decimal | None = None) -> Plot:
    """Add a plot of open ground, tunnel or glass; its yearly cost is entered by year."""
    return keep(Plot(cost_object=open_cost_object("plot", name), name=name, kind=kind, area_m2=area_m2, wide_m=wide_m))


@action("field")
def rename_plot(*, by: User, plot: Plot, name: str, seen: Mapping[str, str] | None = None) -> Plot:
    """Change a plot's name, keeping what it was called before."""
    plot = change_details(plot, by=by, seen=dict(seen or {}), changes={"name": name})
    plot.cost_object.label = name
    keep(plot.cost_object)
    return plot


@action("field")
def rename_bed(*, by: User, bed: Bed, name: str, seen: Mapping[str, str] | None = None) -> Bed:
    """Change a bed's name, keeping what it was called before."""
    return change_details(bed, by=by, seen=dict(seen or {}), changes={"name": name})


@action("field")
def add_bed(*, by: User, plot: Plot, name: str, area_m2: Decimal) -> Bed:
    """Add a bed to a plot; the beds of a plot never exceed its area."""
    plot = Plot.objects.select_for_update(no_key=True).get(pk=plot.pk)
    left = unlaid_area(plot)
    if area_m2 > left:
        raise refusal("area_m2", _("%(plot)s has only %(left)s m2 left for beds."), code="too_large", plot=plot, left=left)
    return keep(Bed(plot=plot, name=name, area_m2=area_m2))


@action("field")
def add_species(*, by: User, name: str, **details: Any) -> Species:
    """Add a species with what is known of it."""
    return keep(Species(name=name, **details))


@action("field")
def change_species(*, by: User, species: Species, changes: Mapping[str, Any], seen: Mapping[str, str] | None = None) -> Species:
    """Change a species' name, caution or usual figures, keeping what stood before."""
    return change_details(species, by=by, seen=dict(seen or {}), changes=dict(changes))


@action("field")
def add_variety(*, by: User, species: Species, name: str, colour: str = "") -> Variety:
    """Add a variety of a species."""
    return keep(Variety(species=species, name=name, colour=colour))


@action("field")
def change_variety(*, by: User, variety: Variety, changes: Mapping[str, Any], seen: Mapping[str, str] | None = None) -> Variety:
    """Change a variety's name or colour, keeping what stood before."""
    return change_details(variety, by=by, seen=dict(seen or {}), changes=dict(changes))
