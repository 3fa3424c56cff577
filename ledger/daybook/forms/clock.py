"""The forms of the clock."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm

from ..models import WorkEntry, Worker
from .spending import AS_TYPED, HOW, shared_field
from .things import ThingsForm


class StartClockForm(ThingsForm):
    """Who begins what, on which things; how they share it is said when it stops."""

    on = None  # type: ignore[assignment]
    shared = None  # type: ignore[assignment]
    weights = None  # type: ignore[assignment]
    worker = forms.ModelChoiceField(queryset=Worker.objects.all(), label=_("Worker"))
    task = forms.ChoiceField(label=_("Task"), choices=WorkEntry.Task.choices)
    field_order = ["worker", "task", "done", "spent_on", "find"]

    def given(self) -> dict[str, Any]:
        given = super().given()
        return {**given, "spent_on": [one for one, _weight in given["spent_on"]]}


class StopClockForm(NoDayForm):
    """When the work stopped, where that was not now, and how several things share it."""

    shared = shared_field()
    at = forms.TimeField(
        label=_("It stopped earlier, at"), required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text=_("Empty: now."),
    )

    def __init__(self, *args: Any, things: int = 1, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["shared"].choices = [pair for pair in HOW if pair[0] != AS_TYPED]  # type: ignore[attr-defined]
        if things < 2:
            del self.fields["shared"]
