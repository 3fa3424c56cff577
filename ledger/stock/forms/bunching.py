"""The form of a bunching run: stems of hangings in, lines out."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Hanging
from ledger.facts.forms import MoneyField, VerbForm
from ledger.stock.actions import Output
from ledger.stock.models import Box

from .boxes import BoxChoice

OUTPUT_ROWS = (1, 2, 3, 4)


class RunForm(VerbForm):
    """`hangings` have loose sound stems (annotated `loose`), `lines` are offered; values only `with_values`."""

    lost = forms.IntegerField(label=_("Stems lost in bunching"), min_value=0, initial=0, required=False)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, hangings: Any, lines: Any, with_values: bool = False, **given: Any) -> None:
        super().__init__(*args, **given)
        self.hangings: list[Hanging] = list(hangings)
        self.with_values = with_values
        for hanging in self.hangings:
            self.fields[f"from_{hanging.pk}"] = forms.IntegerField(
                label=str(hanging), min_value=0, max_value=1_000_000, required=False,
                help_text=_("%(loose)d sound and loose") % {"loose": hanging.loose},  # type: ignore[attr-defined]
            )
        for row in OUTPUT_ROWS:
            self._add_output(row, lines)

    def _add_output(self, row: int, lines: Any) -> None:
        self.fields[f"line_{row}"] = forms.ModelChoiceField(queryset=lines, label=_("Line"), required=False)
        self.fields[f"made_{row}"] = forms.IntegerField(label=_("Made"), min_value=1, max_value=1_000_000, required=False)
        self.fields[f"stems_{row}"] = forms.IntegerField(
            label=_("Stems used"), min_value=1, required=False, help_text=_("Only for a weight or a piece.")
        )
        self.fields[f"box_{row}"] = BoxChoice(
            queryset=Box.objects.on_shelves(), label=_("Into the box"), required=False, empty_label=_("not yet boxed")
        )
        if self.with_values:
            self.fields[f"value_{row}"] = MoneyField(
                label=_("Value of one, to share the cost by"), required=False,
                help_text=_("Leave all empty to share by stems."),
            )

    def input_rows(self) -> list[BoundField]:
        """The fields of the hangings, for the page."""
        return [self[f"from_{hanging.pk}"] for hanging in self.hangings]

    def output_rows(self) -> list[list[BoundField]]:
        """The fields of each line made, for the page."""
        kinds = ["line", "made", "stems", "box", *(["value"] if self.with_values else [])]
        return [[self[f"{kind}_{row}"] for kind in kinds] for row in OUTPUT_ROWS]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for row in OUTPUT_ROWS:
            if bool(given.get(f"line_{row}")) != bool(given.get(f"made_{row}")):
                self.add_error(f"made_{row}", ValidationError(_("Name the line and how many were made."), code="half"))
        return given

    def inputs(self) -> list[tuple[Hanging, int]]:
        """Stems taken of each hanging."""
        taken = [(hanging, self.cleaned_data[f"from_{hanging.pk}"]) for hanging in self.hangings]
        return [(hanging, stems) for hanging, stems in taken if stems]

    def outputs(self) -> list[Output]:
        """The lines made."""
        given = self.cleaned_data
        return [
            Output(
                given[f"line_{row}"], given[f"made_{row}"], given[f"stems_{row}"], given.get(f"value_{row}"),
                given[f"box_{row}"],
            )
            for row in OUTPUT_ROWS
            if given[f"line_{row}"]
        ]
