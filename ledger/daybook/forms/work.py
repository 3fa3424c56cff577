"""The forms of workers, their rates, pay and hours."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, NoDayForm, VerbForm
from ledger.facts.models import User

from ..models import WorkEntry, Worker
from ..queries import offered
from .spending import SpentOnField, asked_for, find_field, found_field, named, weighted, weights_field


class WorkerForm(NoDayForm):
    """A new worker."""

    name = forms.CharField(label=_("Name"), max_length=80)
    paid = forms.BooleanField(
        label=_("Is paid wages"), required=False, initial=True,
        help_text=_("Unpaid hours, the proprietor's own, count in cost to the shelf and full cost only."),
    )
    user = forms.ModelChoiceField(
        queryset=User.objects.filter(worker=None).order_by("username"), label=_("Signs in as"), required=False
    )


class RateForm(VerbForm):
    """What an hour of a worker costs from a day on."""

    worker = forms.ModelChoiceField(queryset=Worker.objects.all(), label=_("Worker"))
    per_hour = MoneyField(label=_("Cost of an hour"), help_text=_("Wages and what comes on top of them."))
    field_order = ["worker", "per_hour", "on"]


class PayForm(VerbForm):
    """Wages for a stretch of days."""

    worker = forms.ModelChoiceField(queryset=Worker.objects.filter(paid=True), label=_("Worker"))
    first_day = DayField(label=_("From"))
    last_day = DayField(label=_("To and including"))
    amount = MoneyField(label=_("Amount"))
    on = DayField(label=_("Paid on"))
    field_order = ["worker", "first_day", "last_day", "amount", "on"]


class WorkForm(VerbForm):
    """Minutes of one worker on one day, on one or several things."""

    worker = forms.ModelChoiceField(queryset=Worker.objects.all(), label=_("Worker"))
    minutes = forms.IntegerField(label=_("Minutes"), min_value=1, max_value=1440)
    task = forms.ChoiceField(label=_("Task"), choices=WorkEntry.Task.choices)
    spent_on = SpentOnField(help_text=_("Choose several to share the minutes among them."))
    find = find_field()
    found = found_field()
    weights = weights_field()
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
    field_order = ["worker", "minutes", "task", "spent_on", "find", "weights", "on", "note"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.initial["found"] = asked_for(self)
        self.fields["spent_on"].offer(offered(asked_for(self), named(self, "spent_on")))  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        given.pop("find", None), given.pop("found", None)
        weights = given.pop("weights", "")
        if given.get("spent_on"):
            try:
                given["spent_on"] = weighted(given["spent_on"], weights)
            except forms.ValidationError as error:
                self.add_error("weights", error)
        return given
