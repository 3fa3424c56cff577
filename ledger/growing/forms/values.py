"""Forms of what a lot's ways out are worth, and of the limit in water."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm

from ..models import CutValue, Parting


class ValueWaysForm(VerbForm):
    """A value of a hundred stems for each way out of a lot; an empty one is none."""

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        for way in CutValue.WAYS:
            self.fields[way] = MoneyField(label=Parting.Way(way).label, required=False)
        self.order_fields([*CutValue.WAYS, "on"])

    def values(self) -> dict[str, int | None]:
        """What was typed for each way."""
        return {way: self.cleaned_data[way] for way in CutValue.WAYS}


class WaterLimitForm(VerbForm):
    """So many days in water that are too long."""

    days = forms.IntegerField(label=_("Days in water that are too long"), min_value=1, max_value=60)
    field_order = ["days", "on"]
