"""The form of a bunching run: loose stems in, lines out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.stock.queries import Loose

from .rows import MOST, OutputsForm

OUTPUT_ROWS = (1, 2, 3, 4)
FROM = {"hanging": "from", "parting": "dry", "oddments": "kept"}


def says_loose(source: Any) -> str:
    """What loose stems are called: a hanging, stems cut dry, oddments."""
    if source._meta.model_name == "parting":
        return str(_("%(lot)s, cut dry") % {"lot": source.lot})
    if source._meta.model_name == "oddments":
        return str(_("oddments of %(hanging)s") % {"hanging": source.hanging})
    return str(source)


class RunForm(OutputsForm):
    """`sources` have loose stems (annotated `loose`), `lines` are offered; values only `with_values`."""

    numbers = tuple(f"{start}_" for start in FROM.values())

    lost = forms.IntegerField(label=_("Stems lost in bunching"), min_value=0, initial=0, required=False)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, sources: Sequence[Loose], lines: Any, with_values: bool = False, **given: Any) -> None:
        super().__init__(*args, **given)
        self.sources = {field_from(source): source for source in sources}
        for name, source in self.sources.items():
            self.fields[name] = forms.IntegerField(
                label=says_loose(source), min_value=0, max_value=MOST, required=False,
                help_text=_("%(loose)d sound and loose") % {"loose": source.loose},  # type: ignore[union-attr]
            )
        self.add_outputs(lines, OUTPUT_ROWS, with_values=with_values)

    @property
    def hangings(self) -> list[Any]:
        """The hangings among the sources."""
        return [source for source in self.sources.values() if source._meta.model_name == "hanging"]

    def input_rows(self) -> list[BoundField]:
        """The fields of the sources, for the page."""
        return [self[name] for name in self.sources]

    def inputs(self) -> list[tuple[Loose, int]]:
        """Stems taken of each source."""
        taken = [(source, self.cleaned_data[name]) for name, source in self.sources.items()]
        return [(source, stems) for source, stems in taken if stems]


def field_from(source: Any) -> str:
    """The name of the field that says how many stems of a source were used."""
    return f"{FROM[source._meta.model_name]}_{source.pk}"
