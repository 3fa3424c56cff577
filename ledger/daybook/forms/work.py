"""The forms of workers, their rates, pay and hours."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, NoDayForm, VerbForm
from ledger.facts.models import User

from ..models import WorkEntry, Worker
from .things import ThingsForm


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


class WorkForm(ThingsForm):
    """Minutes of one worker on one day, on one or several things."""

    worker = forms.ModelChoiceField(queryset=Worker.objects.all(), label=_("Worker"))
    minutes = forms.IntegerField(label=_("Minutes"), min_value=1, max_value=1440)
    task = forms.ChoiceField(label=_("Task"), choices=WorkEntry.Task.choices)
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
    field_order = ["worker", "minutes", "task", "on", "done", "spent_on", "find", "weights", "shared", "note"]
