"""Forms of what goes along to a job or a workshop and of what comes back, for one hand at the shelf."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, VerbForm
from ledger.facts.ruled import MOST, Row, RuledForm
from ledger.growing.models import Lot
from ledger.sales.queries.to_take import ToTake
from ledger.stock.forms.boxes import BoxChoice
from ledger.stock.models import Box, Line


def into_box() -> BoxChoice:
    """The box bunches come back into."""
    return BoxChoice(
        queryset=Box.objects.on_shelves(), label=_("Into the box"), required=False, empty_label=_("none: not yet boxed")
    )


class TakeForm(RuledForm):
    """A number for each thing that could be taken; what is still needed is proposed and wants only a tick.

    A number typed over the proposed one counts without the tick. What the page proposed is sent along (`was_12`): by the
    time it is sent, another number may be needed. Without it a row needs its tick.
    """

    numbers = ("n_",)

    def __init__(self, *args: Any, rows: Sequence[ToTake], **given: Any) -> None:
        super().__init__(*args, **given)
        self.to_take = {row.what.pk: row for row in rows}
        for pk, row in self.to_take.items():
            ticked = forms.CheckboxInput(attrs={"aria-label": _("taken: %(what)s") % {"what": row.what}})
            self.fields[f"tick_{pk}"] = forms.BooleanField(required=False, label=str(row.what), widget=ticked)
            self.number(f"n_{pk}", _("%(what)s: how many") % {"what": row.what})
            self.fields[f"n_{pk}"].initial = row.needed or None
            self.fields[f"was_{pk}"] = forms.CharField(
                widget=forms.HiddenInput, required=False, max_length=10, initial=str(row.needed),
            )

    def _proposed(self, pk: int) -> bool:
        """Whether it is still needed, or was when the page was opened."""
        return bool(self.to_take[pk].needed or self.data.get(f"tick_{pk}")) or self.data.get(f"was_{pk}", "0") not in ("", "0")

    def needed_rows(self) -> list[Row]:
        """What is still needed: a tick and the number proposed."""
        return [
            Row(row.what, row.note, [self[f"tick_{pk}"], self[f"n_{pk}"]])
            for pk, row in self.to_take.items() if self._proposed(pk)
        ]

    def other_rows(self) -> list[Row]:
        """All else that is there."""
        return [Row(row.what, row.note, [self[f"n_{pk}"]]) for pk, row in self.to_take.items() if not self._proposed(pk)]

    def other_typed(self) -> bool:
        """Whether anything was typed, or is wrong, beside what is still needed."""
        names = [f"n_{pk}" for pk in self.to_take if not self._proposed(pk)] + ["other", "other_n"]
        return any(self.data.get(name) or self.errors.get(name) for name in names) if self.is_bound else False

    def says(self, name: str) -> bool:
        pk = name.removeprefix("n_")
        return bool(self.data[name]) and self._counts(pk, str(self.data[name]).strip(), ticked=bool(self.data.get(f"tick_{pk}")))

    def _counts(self, pk: Any, number: str, *, ticked: bool) -> bool:
        """Whether a row's number was ticked, or is another than the page proposed."""
        was = str(self.data.get(f"was_{pk}", ""))
        return ticked or (was != "" and number != was)

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for pk in self.to_take:
            if given.get(f"tick_{pk}") and not given.get(f"n_{pk}"):
                self.add_error(f"n_{pk}", ValidationError(_("Say how many you took."), code="too_few"))
        if not self.errors and not self.taken():
            raise ValidationError(_("Tick what you took, or say how many."), code="nothing_said")
        return given

    def taken(self) -> dict[Any, int]:
        """What was ticked or typed, by line or lot."""
        given = self.cleaned_data
        return {
            row.what: number for pk, row in self.to_take.items()
            if (number := given.get(f"n_{pk}")) and self._counts(pk, str(number), ticked=given[f"tick_{pk}"])
        }


class TakeBunchesForm(TakeForm):
    """Bunches; also of a line of which the record knows none."""

    other = forms.ModelChoiceField(
        queryset=Line.objects.none(), label=_("Of another line"), required=False,
        help_text=_("The record says there are none of it: what you took is noted as found, to be checked."),
    )
    other_n = forms.IntegerField(label=_("How many of that"), min_value=1, max_value=MOST, required=False)

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["other"].queryset = Line.objects.whole().exclude(pk__in=self.to_take)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        if bool(self.cleaned_data.get("other")) != bool(self.cleaned_data.get("other_n")):
            self.add_error("other_n", ValidationError(_("Name the line and how many."), code="half"))
        return super().clean()

    def taken(self) -> dict[Any, int]:
        given = self.cleaned_data
        more = {given["other"]: given["other_n"]} if given.get("other") and given.get("other_n") else {}
        return {**super().taken(), **more}


class BackForm(RuledForm):
    """What came back: a number for each line and each lot that is still out."""

    box = into_box()
    numbers = ("n_", "stems_")

    def __init__(self, *args: Any, out: Mapping[Line | Lot, int], **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines = {f"n_{one.pk}": one for one in out if isinstance(one, Line)}
        self.lots = {f"stems_{one.pk}": one for one in out if isinstance(one, Lot)}
        self.out: dict[str, int] = {}
        for one, number in out.items():
            name = f"n_{one.pk}" if isinstance(one, Line) else f"stems_{one.pk}"
            self.out[name] = number
            self.number(name, _("%(what)s: how many came back") % {"what": one})

    def _rows(self, things: Mapping[str, Any]) -> list[Row]:
        return [Row(one, _("%(n)d still out") % {"n": self.out[name]}, [self[name]]) for name, one in things.items()]

    def line_rows(self) -> list[Row]:
        """A row for each line of which bunches are still out."""
        return self._rows(self.lines)

    def lot_rows(self) -> list[Row]:
        """A row for each lot of which stems are still out."""
        return self._rows(self.lots)

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        if not self.errors and not any(given.get(name) for name in self.out):
            raise ValidationError(_("Say how many came back of what."), code="nothing_said")
        return given

    def back(self) -> dict[str, Any]:
        """The numbers by line and by lot."""
        given = self.cleaned_data
        bunches = {one: given[name] for name, one in self.lines.items() if given.get(name)}
        return {"bunches": bunches, "stems": {one: given[name] for name, one in self.lots.items() if given.get(name)}}


class BunchesBackForm(VerbForm):
    """Bunches of one taking that came back."""

    bunches = forms.IntegerField(label=_("How many came back"), min_value=1, max_value=MOST)
    box = into_box()
    field_order = ["bunches", "box", "on"]


class StemsBackForm(NoDayForm):
    """Fresh stems of one taking that came back, into water."""

    stems = forms.IntegerField(label=_("Stems that came back"), min_value=1, max_value=MOST)
