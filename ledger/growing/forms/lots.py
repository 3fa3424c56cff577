"""Forms of cutting, and of what leaves a lot: few fields, for wet hands."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.db.models import Q
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.queries import today

from ..models import MOST_GRAMS, MOST_STEMS, Lot, Planting
from .fields import stems_field, why_field

DAYS_TO_ENTER_LATE = timedelta(days=120)


def grams_field(**given: Any) -> forms.IntegerField:
    """A weight in whole grams."""
    return forms.IntegerField(min_value=1, max_value=MOST_GRAMS, required=False, **given)


class PlantingChoice(forms.ModelChoiceField):
    """A planting by the beds it stands in."""

    def label_from_instance(self, planting: Any) -> str:
        return f"{planting.variety}, {planting.where}, {planting.season}"


class CutForm(VerbForm):
    """What was cut, by stems, by bundles or by weight."""

    planting = PlantingChoice(queryset=Planting.objects.none(), label=_("From the planting"))
    stems = stems_field(label=_("Stems"), required=False)
    bundles = forms.IntegerField(label=_("or bundles"), min_value=1, max_value=MOST_STEMS, required=False)
    per_bundle = forms.IntegerField(label=_("of so many stems"), min_value=1, max_value=10_000, required=False)
    about = forms.BooleanField(label=_("That is about so many, not counted"), required=False)
    fresh_g = grams_field(
        label=_("All of it weighs (g)"), help_text=_("Fresh, as cut. The stems are reckoned from the sample: about so many.")
    )
    sample_stems = stems_field(label=_("A sample of so many stems"), required=False)
    sample_g = grams_field(label=_("weighs (g)"))
    dry = forms.BooleanField(label=_("It came in dry and needs no hanging"), required=False)
    stage = forms.ChoiceField(label=_("Stage when cut"), choices=Lot.Stage.choices)
    field_order = ["planting", "stems", "bundles", "per_bundle", "about", "dry", "stage", "on"]
    weights = ("fresh_g", "sample_stems", "sample_g")

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        lately = Planting.objects.lately_in_beds(today() - DAYS_TO_ENTER_LATE)
        opened_from = str(self.initial.get("planting", ""))
        named = Planting.objects.standing().filter(pk=opened_from if opened_from.isdecimal() else None)
        either = Q(pk__in=lately.order_by().values("pk")) | Q(pk__in=named.values("pk"))
        self.fields["planting"].queryset = Planting.objects.filter(either).whole().bed_by_bed("-season")  # type: ignore[attr-defined]

    def counted(self) -> list[BoundField]:
        """The fields that are always shown."""
        return [field for field in self.visible_fields() if field.name not in self.weights]

    def weighed(self) -> list[BoundField]:
        """The fields for what was weighed."""
        return [self[name] for name in self.weights]

    def says_weight(self) -> bool:
        """Whether anything stands in the fields for what was weighed, or is wrong there."""
        return any(field.errors or field.value() for field in self.weighed())

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if (given.get("stems") or given.get("fresh_g")) and not given.get("bundles"):
            given["per_bundle"] = None
        return given


class DryForm(VerbForm):
    """Stems that came in dry."""

    stems = stems_field(label=_("Stems"))
    field_order = ["stems", "on"]


class PartForm(VerbForm):
    """Stems that leave a lot and are not sold or hung."""

    stems = stems_field(label=_("Stems"))
    why = why_field()
    field_order = ["stems", "why", "on"]
