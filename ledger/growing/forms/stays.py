"""Forms of what happens to a planting while it stands: few fields, for wet hands."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.queries import today

from ..models import Bed, Planting
from ..queries import areas_of
from .fields import area_field, bed_field, seasons_field, stems_field, why_field
from .plantings import AllThatIsFree


class PlantOutForm(AllThatIsFree):
    """Plants set out in a bed."""

    bed = bed_field()
    area_m2 = area_field(required=False, help_text=_("Left empty: all that is free in the bed."))
    plants = stems_field(label=_("Plants set out, where counted"), required=False)
    expected_stems = stems_field(
        label=_("Expected stems of the season in all"), required=False, help_text=_("Left empty: reckoned from all its area.")
    )
    field_order = ["bed", "area_m2", "plants", "on"]


class DumpForm(VerbForm):
    """Spare seedlings thrown away."""

    plants = stems_field(label=_("Plants thrown away"))
    why = why_field(help_text=_("Spare, leggy, damping off, no bed free."))
    field_order = ["plants", "why", "on"]


class HeldBedChoice(forms.ModelChoiceField):
    """One of a planting's beds with the area it holds there today."""

    held: dict[int, Decimal]

    def label_from_instance(self, bed: Any) -> str:
        return str(_("%(bed)s (%(held)s m2 of it)") % {"bed": bed, "held": self.held.get(bed.pk, 0)})


class ClearPartForm(VerbForm):
    """Part of a bed that a planting gives up."""

    bed = HeldBedChoice(queryset=Bed.objects.none(), label=_("Bed"), empty_label=None)
    area_m2 = area_field()
    why = why_field()
    field_order = ["bed", "area_m2", "why", "on"]

    def __init__(self, *args: Any, planting: Planting, **given: Any) -> None:
        super().__init__(*args, **given)
        beds = self.fields["bed"]
        beds.held = areas_of(planting, today())  # type: ignore[attr-defined]
        beds.queryset = Bed.objects.of_plots().filter(pk__in=[key for key, m2 in beds.held.items() if m2 > 0])  # type: ignore[attr-defined]


class ClearForm(VerbForm):
    """The day a planting left its beds."""

    why = why_field()
    failed = forms.BooleanField(
        label=_("It failed: nothing was cut of it"), required=False, help_text=_("What it cost is a cost of the year.")
    )
    field_order = ["why", "failed", "on"]


class CutOverForm(VerbForm):
    """A perennial cut over."""

    note = why_field(label=_("Note"))
    field_order = ["note", "on"]


class LifeForm(VerbForm):
    """Another estimate of a perennial's life."""

    productive_seasons = seasons_field(
        label=_("Productive seasons in all"),
        help_text=_("Counted from its first. What is left of its establishing spreads anew."),
    )
    why = why_field()
    field_order = ["productive_seasons", "why", "on"]


class DivideForm(AllThatIsFree):
    """A perennial divided, and where the parts go."""

    parts = forms.IntegerField(label=_("So many parts"), min_value=1, max_value=999, initial=1)
    of_parts = forms.IntegerField(label=_("of"), min_value=2, max_value=1000, initial=2)
    bed = bed_field()
    area_m2 = area_field(required=False, help_text=_("Left empty: all that is free in the bed."))
    season = forms.IntegerField(label=_("First season the parts are cut in"), min_value=1990, max_value=2200)
    productive_seasons = seasons_field(label=_("Productive seasons of the parts"))
    field_order = ["parts", "of_parts", "bed", "area_m2", "season", "productive_seasons", "on"]
