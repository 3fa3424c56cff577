"""Forms of cutting, and of what leaves a lot: few fields, for wet hands."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.queries import today

from ..models import MOST_STEMS, Lot, Planting
from .fields import stems_field

DAYS_TO_ENTER_LATE = timedelta(days=120)


class CutForm(VerbForm):
    """What was cut, by stems or by bundles."""

    planting = forms.ModelChoiceField(queryset=Planting.objects.none(), label=_("From the planting"))
    stems = stems_field(label=_("Stems"), required=False)
    bundles = forms.IntegerField(label=_("or bundles"), min_value=1, max_value=MOST_STEMS, required=False)
    per_bundle = forms.IntegerField(label=_("of so many stems"), min_value=1, max_value=10_000, required=False)
    about = forms.BooleanField(label=_("That is about so many, not counted"), required=False)
    stage = forms.ChoiceField(label=_("Stage when cut"), choices=Lot.Stage.choices)
    field_order = ["planting", "stems", "bundles", "per_bundle", "about", "stage", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        lately = Planting.objects.lately_in_beds(today() - DAYS_TO_ENTER_LATE)
        opened_from = str(self.initial.get("planting", ""))
        named = Planting.objects.standing().filter(pk=opened_from if opened_from.isdecimal() else None)
        either = Q(pk__in=lately.order_by().values("pk")) | Q(pk__in=named.values("pk"))
        self.fields["planting"].queryset = Planting.objects.filter(either).whole().order_by(  # type: ignore[attr-defined]
            "bed__plot__name", "bed__name", "-season", "pk"
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("stems") and not given.get("bundles"):
            given["per_bundle"] = None
        return given


class PartForm(VerbForm):
    """Stems that leave a lot and are not sold or hung."""

    stems = stems_field(label=_("Stems"))
    why = forms.CharField(label=_("Why"), max_length=120, required=False)
    field_order = ["stems", "why", "on"]
