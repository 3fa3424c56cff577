"""The forms of the daybook."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, NoDayForm, VerbForm
from ledger.facts.models import CostKind, CostObject, User

from .actions import BoughtLine
from .models import WorkEntry, Worker
from .queries import can_be_spent_on

MOST_LINES = 20


class SpentOnField(forms.ModelMultipleChoiceField):
    """One or several things that time or money went on, grouped by what they are."""

    def __init__(self, **given: Any) -> None:
        given.setdefault("label", _("Spent on"))
        super().__init__(queryset=CostObject.objects.all(), **given)

    def offer(self, among: Iterable[CostObject]) -> None:
        """Offer these, by kind."""
        groups: dict[str, list[tuple[int, str]]] = {}
        for one in among:
            groups.setdefault(str(one.get_kind_display()), []).append((one.pk, one.label))
        self.choices = list(groups.items())


def weighted(things: Iterable[CostObject], weights: str) -> list[tuple[CostObject, int]]:
    """Things with their weights, equal where none are typed; raises a refusal where numbers do not fit."""
    named, typed = list(things), [part for part in weights.replace(";", ",").split(",") if part.strip()]
    if not typed:
        return [(one, 1) for one in named]
    if len(typed) != len(named) or not all(part.strip().isdecimal() and int(part) for part in typed):
        raise forms.ValidationError(
            _("Type one whole number for each thing, in the order of the list: %(n)d are chosen."), code="weights",
            params={"n": len(named)},
        )
    return [(one, int(part)) for one, part in zip(named, typed, strict=True)]


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
    weights = forms.CharField(
        label=_("Shared by"), required=False, max_length=200,
        help_text=_("Empty: equally. Else one whole number for each, such as 3, 1 (stems, m2, as you like)."),
    )
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
    field_order = ["worker", "minutes", "task", "spent_on", "weights", "on", "note"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["spent_on"].offer(can_be_spent_on(_numbers(self, "spent_on")))  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("spent_on"):
            try:
                given["spent_on"] = weighted(given["spent_on"], given.pop("weights", ""))
            except forms.ValidationError as error:
                self.add_error("weights", error)
        return given


def _numbers(form: VerbForm, field: str) -> list[int]:
    """The things a form already names, whatever is offered besides."""
    sent = form.data.getlist(field) if hasattr(form.data, "getlist") else [form.initial.get(field)]
    return [int(one) for one in [*sent, form.initial.get(field)] if str(one).isdecimal()]


class PurchaseForm(VerbForm):
    """A bill with so many lines; an empty line is left out."""

    supplier = forms.CharField(label=_("Supplier"), max_length=120)
    reference = forms.CharField(label=_("Reference on the bill"), max_length=60, required=False)
    field_order = ["on", "supplier", "reference"]

    def __init__(self, *args: Any, lines: int = 1, **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines = min(lines, MOST_LINES)
        named = [number for row in range(self.lines) for number in _numbers(self, f"spent_on_{row}")]
        offered = list(can_be_spent_on([*named, *_numbers(self, "spent_on")]))
        for row in range(self.lines):
            self._add_row(row, offered)

    def _add_row(self, row: int, offered: list[CostObject]) -> None:
        spent_on = SpentOnField(required=False)
        spent_on.offer(offered)
        if row == 0 and self.initial.get("spent_on"):
            self.initial[f"spent_on_{row}"] = _numbers(self, "spent_on")
        for name, field in {
            "description": forms.CharField(label=_("What was bought"), max_length=120, required=False),
            "kind": forms.ModelChoiceField(
                queryset=CostKind.objects.exclude(code__in=["labour", "unpaid"]), label=_("Kind of cost"), required=False
            ),
            "net": MoneyField(label=_("Net"), required=False),
            "tax": MoneyField(label=_("Tax"), required=False),
            "spent_on": spent_on,
            "covers_from": DayField(label=_("Covers from"), required=False),
            "covers_to": DayField(label=_("to and including"), required=False),
        }.items():
            self.fields[f"{name}_{row}"] = field

    def rows(self) -> list[list[Any]]:
        """The fields of each line, for the page."""
        names = ("description", "kind", "net", "tax", "spent_on", "covers_from", "covers_to")
        return [[self[f"{name}_{row}"] for name in names] for row in range(self.lines)]

    def head(self) -> list[Any]:
        """The fields of the bill itself."""
        return [self[name] for name in ("on", "supplier", "reference")]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for row in range(self.lines):
            if given.get(f"description_{row}") or given.get(f"net_{row}"):
                for name in ("description", "kind", "net", "spent_on"):
                    if not given.get(f"{name}_{row}") and f"{name}_{row}" not in self.errors:
                        self.add_error(f"{name}_{row}", forms.ValidationError(_("This line needs it."), code="required"))
        return given

    def bought(self) -> list[BoughtLine]:
        """The lines as the action takes them."""
        given = self.cleaned_data
        return [
            BoughtLine(
                description=given[f"description_{row}"], kind=given[f"kind_{row}"], net=given[f"net_{row}"],
                tax=given[f"tax_{row}"] or 0, spent_on=[(one, 1) for one in given[f"spent_on_{row}"]],
                covers_from=given[f"covers_from_{row}"], covers_to=given[f"covers_to_{row}"],
            )
            for row in range(self.lines)
            if given[f"description_{row}"]
        ]


class YearOfSpaceForm(VerbForm):
    """What a plot or drying place is expected to cost in a year, and its normal use."""

    space = forms.ModelChoiceField(
        queryset=CostObject.objects.filter(kind__in=["plot", "place"]), label=_("Plot or drying place")
    )
    year = forms.IntegerField(label=_("Year (in which it ends)"), min_value=1990, max_value=2200)
    expected_cost = MoneyField(label=_("Expected cost of the year"), help_text=_("Rent, rates, water, upkeep, heat, light."))
    room = forms.DecimalField(
        label=_("Normally used: m2, or hooks, metres, racks, crates"), min_value=0, max_digits=9, decimal_places=2
    )
    first_day = DayField(label=_("from this day of the year"), required=False)
    last_day = DayField(label=_("to and including"), required=False)
    normal_source = forms.CharField(label=_("Where that comes from"), max_length=200, required=False)
    field_order = ["space", "year", "expected_cost", "room", "first_day", "last_day", "normal_source", "on"]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        first, last = given.pop("first_day", None), given.pop("last_day", None)
        room, space = given.pop("room", None), given.get("space")
        if (first is None) != (last is None) or (first and last and last < first):
            self.add_error("last_day", forms.ValidationError(_("A stretch needs a first and a last day, in that order."), code="stretch"))
        elif room is not None and space is not None:
            days = (last - first).days + 1 if first and last else 365
            given["normal_unit_days"] = int(room * (100 if space.kind == "plot" else 1)) * days
        return given
