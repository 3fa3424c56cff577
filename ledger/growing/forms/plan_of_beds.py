"""The sheet on which the beds of a plot are laid out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm

from ..actions import BedPlace
from ..models import Bed, Plot
from .fields import length_field

FIELDS = ("left_m", "front_m", "long_m", "across")


class LayOutBedsForm(NoDayForm):
    """How wide the plot is, and a row for each of its beds; `seen` fields keep what the form showed."""

    wide_m = length_field(_("Width of the plot (m)"), help_text=_("Seen from its front; its depth follows from its area."))
    seen_wide_m = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, plot: Plot, beds: Sequence[Bed], **given: Any) -> None:
        super().__init__(*args, **given)
        self.plot, self.beds = plot, beds
        self._begin("wide_m", plot.wide_m)
        for bed in beds:
            self._add_row(bed)

    def _add_row(self, bed: Bed) -> None:
        what, nil = {"bed": bed.name}, Decimal(0)
        self._length(f"left_m_{bed.pk}", _("%(bed)s: from the left (m)") % what, nil)
        self._length(f"front_m_{bed.pk}", _("%(bed)s: from the front (m)") % what, nil)
        self._length(f"long_m_{bed.pk}", _("%(bed)s: length (m)") % what, Decimal("0.01"))
        across = forms.BooleanField(label=_("%(bed)s: runs across the plot") % what, required=False)
        across.widget.attrs["aria-label"] = across.label
        self.fields[f"across_{bed.pk}"] = across
        for name in FIELDS:
            self.fields[f"seen_{name}_{bed.pk}"] = forms.CharField(widget=forms.HiddenInput, required=False)
            self._begin(f"{name}_{bed.pk}", getattr(bed, name))

    def _length(self, name: str, label: Any, least: Decimal) -> None:
        field = length_field(label, least=least, widget=forms.TextInput)
        field.widget.attrs.update({"aria-label": label, "inputmode": "decimal", "autocomplete": "off"})
        self.fields[name] = field

    def _begin(self, name: str, now: Any) -> None:
        self.initial[name], self.initial[f"seen_{name}"] = now, "" if now is None else str(now)

    def rows(self) -> Iterator[tuple[Bed, list[tuple[Any, BoundField]]]]:
        """Each bed with its labelled fields."""
        heads = {
            "left_m": _("From the left (m)"), "front_m": _("From the front (m)"), "long_m": _("Length (m)"),
            "across": _("across"),
        }
        for bed in self.beds:
            yield bed, [(word, self[f"{name}_{bed.pk}"]) for name, word in heads.items()]

    def places(self) -> dict[int, BedPlace]:
        """Where each bed is said to lie."""
        return {bed.pk: BedPlace(**{name: self.cleaned_data[f"{name}_{bed.pk}"] for name in FIELDS}) for bed in self.beds}

    def seen(self) -> dict[str, str]:
        """What the form showed, by field."""
        shown = (name for name in self.fields if name.startswith("seen_"))
        return {name.removeprefix("seen_"): self.cleaned_data[name] for name in shown}

    def refuse(self, error: ValidationError) -> None:
        """Show a refusal on the bed's row; what is said of `across` stands with its length."""
        if hasattr(error, "error_dict"):
            error = ValidationError({name.replace("across_", "long_m_"): said for name, said in error.error_dict.items()})
        super().refuse(error)
