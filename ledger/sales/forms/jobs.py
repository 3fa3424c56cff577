"""Forms of jobs: asked about, said anew, bunches kept, deposits, cancelled."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.facts.ruled import MOST
from ledger.pricing.models import Way
from ledger.pricing.queries.words import in_money
from ledger.sales.models import Customer, Job
from ledger.stock.models import Line
from ledger.stock.queries.seasons import seasons_by_line

NOTE = forms.Textarea(attrs={"rows": 3})


def only_one(ways: QuerySet[Way]) -> Way | None:
    """The way, where there is exactly one: of several the grower says which, as prices, fees and margin follow it."""
    found = list(ways.order_by("pk")[:2])
    return found[0] if len(found) == 1 else None


class JobForm(VerbForm):
    """What is asked for, by whom, for when."""

    name = forms.CharField(label=_("What it is called"), max_length=80, help_text=_("As it should stand on the quote."))
    kind = forms.ChoiceField(label=_("Kind"), choices=Job.Kind.choices)
    customer = forms.ModelChoiceField(queryset=Customer.objects.named(), label=_("Customer"))
    held_on = DayField(label=_("Day of the job"))
    way = forms.ModelChoiceField(
        queryset=Way.objects.all(), label=_("Way of selling"),
        help_text=_("Prices are with tax or net as it keeps them, and are proposed by its margin and fees."),
    )
    good_until = DayField(label=_("Quote good until"), required=False, help_text=_("Empty: no day is said."))
    note = forms.CharField(label=_("Note"), max_length=400, required=False, widget=NOTE)
    field_order = ["name", "kind", "customer", "held_on", "way", "good_until", "note", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["on"].label = _("Asked about on")
        self.fields["way"].initial = only_one(Way.objects.filter(kind=Way.Kind.MADE_UP))


class JobChangeForm(VerbForm):
    """The day of a job, how long its quote is good and its note, said anew."""

    waits = False
    held_on = DayField(label=_("Day of the job"))
    good_until = DayField(label=_("Quote good until"), required=False, help_text=_("Empty: no day is said."))
    note = forms.CharField(label=_("Note"), max_length=400, required=False, widget=NOTE)
    field_order = ["held_on", "good_until", "note", "on"]


class KeepForJobForm(VerbForm):
    """So many bunches of a line to be kept for a job."""

    waits = False
    line = forms.ModelChoiceField(queryset=Line.objects.whole(), label=_("Bunch line"))
    bunches = forms.IntegerField(label=_("How many bunches"), min_value=1, max_value=MOST)
    season = forms.TypedChoiceField(label=_("Only of season"), coerce=int, empty_value=None, required=False)
    field_order = ["line", "bunches", "season", "on"]

    def __init__(self, *args: Any, lines: Sequence[Line], kept: Iterable[int], **given: Any) -> None:
        """`lines`: those offered, each with `free`; `kept`: the seasons of which alone something is kept for it already."""
        super().__init__(*args, **given)
        keys = [line.pk for line in lines]
        free = {line.pk: line.free for line in lines}  # type: ignore[attr-defined]
        self.fields["line"].queryset = Line.objects.whole().filter(pk__in=keys)  # type: ignore[attr-defined]
        self.fields["line"].label_from_instance = (  # type: ignore[attr-defined]
            lambda line: _("%(line)s (%(n)d free)") % {"line": line, "n": free[line.pk]}
        )
        there = {season for found in seasons_by_line(lines).values() for season in found}
        if kept or len(there) > 1:
            seasons = [(one, str(one)) for one in sorted({*there, *kept}, reverse=True)]
            self.fields["season"].choices = [("", _("any season")), *seasons]  # type: ignore[attr-defined]
        else:
            del self.fields["season"]

    def given(self) -> dict[str, Any]:
        return {"season": None, **super().given()}


class DepositForm(VerbForm):
    """Money paid ahead, or given back."""

    amount = MoneyField(label=_("Amount"))
    how = forms.CharField(label=_("How it came"), max_length=60, required=False, help_text=_("Cash, card, bank transfer."))
    field_order = ["amount", "how", "on"]


class GiveBackForm(DepositForm):
    """Money of a deposit given back."""

    how = forms.CharField(label=_("How it went"), max_length=60, required=False, help_text=_("Cash, card, bank transfer."))


class CancelJobForm(VerbForm):
    """Why a job will not be, and what of its deposit is kept."""

    waits = False
    why = forms.CharField(label=_("Why"), max_length=200, required=False)
    kept = MoneyField(label=_("Kept of the deposit"), required=False)
    taxed = forms.BooleanField(
        label=_("Tax is in what is kept"), required=False,
        help_text=_("Whether a kept deposit is taxed differs from country to country; a qualified accountant decides."),
    )
    field_order = ["why", "kept", "taxed", "on"]

    def __init__(self, *args: Any, held: int, rate_bp: int, **given: Any) -> None:
        """`held`: what is held of deposits, minor units; nothing is asked of what is not there."""
        super().__init__(*args, **given)
        says = _("Of %(held)s held. Empty: none. What is not kept is given back at once.")
        self.fields["kept"].help_text = says % {"held": in_money(held)}
        for name in ("kept", "taxed") if not held else () if rate_bp else ("taxed",):
            del self.fields[name]

    def given(self) -> dict[str, Any]:
        said = super().given()
        return {**said, "kept": said.get("kept") or 0, "taxed": bool(said.get("taxed"))}
