"""Forms of stock-takes: beginning one, counting a box, putting it into the book."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.ruled import STALE, RuledForm
from ledger.stock.models import Batch, Box, Line, StockTake
from ledger.stock.queries import CountedRow, Difference


def shelves() -> list[str]:
    """The names of shelves on which a box stands, in order."""
    named = Box.objects.filter(parcel=False).exclude(shelf="").order_by("shelf")
    return list(named.values_list("shelf", flat=True).distinct())


class BeginTakeForm(VerbForm):
    """What is to be counted, and whether those who count see the record."""

    shelf = forms.ChoiceField(label=_("One shelf"), required=False)
    line = forms.ModelChoiceField(
        queryset=Line.objects.whole(), label=_("or one line, wherever it lies"), required=False, empty_label=_("every line"),
    )
    shown = forms.BooleanField(
        label=_("Show what the record says while counting"), required=False,
        help_text=_("Without it everybody counts what is there, not what should be."),
    )
    note = forms.CharField(label=_("Note"), max_length=200, required=False)
    field_order = ["shelf", "line", "shown", "note", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["shelf"].choices = [("", _("every shelf")), *((name, name) for name in shelves())]  # type: ignore[attr-defined]


class CountInTakeForm(RuledForm):
    """What was counted in one place of a stock-take; an empty field was not counted.

    Nor was one left as the page showed it, where another number was counted since.
    """

    numbers = ("counted_",)
    place = forms.CharField(widget=forms.HiddenInput, max_length=20, required=False)
    other = forms.ModelChoiceField(queryset=Batch.objects.none(), label=_("Something else is in it"), required=False)
    other_counted = forms.IntegerField(label=_("How many of that"), min_value=1, max_value=100_000, required=False)

    def __init__(self, *args: Any, take: StockTake, rows: Sequence[CountedRow], **given: Any) -> None:
        super().__init__(*args, **given)
        self.counting = list(rows)
        others = Batch.objects.standing().whole().order_by("-on", "-pk")
        if take.line_id is not None:
            others = others.filter(line=take.line_id)
        self.fields["other"].queryset = others  # type: ignore[attr-defined]
        self.fields["other_counted"].widget.attrs["inputmode"] = "numeric"
        for row in self.counting:
            says = _("The record says %(n)d.") % {"n": row.there} if take.shown else ""
            self.number(f"counted_{row.batch.pk}", str(row.batch), help_text=says)
            field = self.fields[f"counted_{row.batch.pk}"]
            del field.widget.attrs["aria-label"]
            field.initial = row.counted.counted if row.counted and row.is_counted else None
            field.show_hidden_initial = field.initial is not None
        self.order_fields([*(f"counted_{row.batch.pk}" for row in self.counting), "other", "other_counted", "on"])

    @property
    def sheet(self) -> list[tuple[CountedRow, Any]]:
        """Each batch with its field."""
        return [(row, self[f"counted_{row.batch.pk}"]) for row in self.counting]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        if bool(given.get("other")) != bool(given.get("other_counted")):
            self.add_error("other_counted", ValidationError(_("Name the batch and how many."), code="half"))
        if given.get("other") in [row.batch for row in self.counting]:
            self.add_error("other", ValidationError(_("That batch has a row of its own above."), code="twice"))
        if not self.errors and not self.counted():
            if any(given.get(f"counted_{row.batch.pk}") is not None for row in self.counting):
                raise ValidationError(STALE, code="stale_form")
            raise ValidationError(_("Give at least one number."), code="nothing_counted")
        return given

    def _left(self, name: str) -> bool:
        """Whether a number was left as the page showed it, and is no longer the one that stands."""
        number = self.cleaned_data.get(name)
        return str(number) == self.seen(name) and number != self.fields[name].initial

    def counted(self) -> dict[Batch, int]:
        """Bunches counted by batch."""
        given = self.cleaned_data
        names = {row.batch: f"counted_{row.batch.pk}" for row in self.counting}
        counted = {batch: given[name] for batch, name in names.items() if given.get(name) is not None and not self._left(name)}
        if given.get("other"):
            counted[given["other"]] = given["other_counted"]
        return counted


class EndTakeForm(VerbForm):
    """Why each difference is; what is said once at the end serves for all that have no reason of their own."""

    why = forms.CharField(label=_("Why, of every difference without a reason of its own"), max_length=120, required=False)

    def __init__(self, *args: Any, found: Sequence[Difference], **given: Any) -> None:
        super().__init__(*args, **given)
        self.found = [one for one in found if one.over]
        for one in self.found:
            field = forms.CharField(label=_("Why"), max_length=120, required=False)
            field.widget.attrs["aria-label"] = _("%(batch)s: why") % {"batch": one.counted.batch}
            self.fields[f"why_{one.counted.pk}"] = field
        self.order_fields([*(f"why_{one.counted.pk}" for one in self.found), "why", "on"])

    @property
    def sheet(self) -> list[tuple[Difference, Any]]:
        """Each difference with its field."""
        return [(one, self[f"why_{one.counted.pk}"]) for one in self.found]

    def reasons(self) -> dict[int, str]:
        """The reason of each difference by the key of what was counted."""
        given = self.cleaned_data
        return {one.counted.pk: given.get(f"why_{one.counted.pk}") or given.get("why", "") for one in self.found}
