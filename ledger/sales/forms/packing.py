"""The form of packing: the picking list, ticked as one walks along the shelves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import Row, RuledForm
from ledger.sales.actions import Picked
from ledger.sales.queries.picking import Pick


class PackForm(RuledForm):
    """A tick and a number for each place of what is still to be packed."""

    numbers = ("tick_",)

    def __init__(self, *args: Any, picks: Sequence[Pick], **given: Any) -> None:
        super().__init__(*args, **given)
        self.picks = {f"{pick.order_line.pk}_{pick.content.pk}": pick for pick in picks}
        for name, pick in self.picks.items():
            where = _("%(what)s from %(box)s") % {"what": pick.order_line, "box": pick.content.box or _("not yet boxed")}
            taken = forms.CheckboxInput(attrs={"aria-label": _("taken: %(where)s") % {"where": where}})
            self.fields[f"tick_{name}"] = forms.BooleanField(required=False, label=where, widget=taken)
            self.number(f"n_{name}", _("%(where)s: how many") % {"where": where})
            self.fields[f"n_{name}"].initial = pick.proposed or None
            if pick.content.box is not None:
                self.number(f"only_{name}", _("%(where)s: there were only") % {"where": where})

    def rows(self) -> list[Row]:
        """A row for each place, in the order of shelves."""
        return [Row(pick.order_line, pick.content, self._fields_of(name)) for name, pick in self.picks.items()]

    def _fields_of(self, name: str) -> list[forms.BoundField]:
        return [self[field] for kind in ("tick", "n", "only") if (field := f"{kind}_{name}") in self.fields]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for name in self.picks:
            if given.get(f"tick_{name}") and not given.get(f"n_{name}"):
                self.add_error(f"n_{name}", ValidationError(_("Say how many you took."), code="too_few"))
        return given

    def picked(self) -> list[Picked]:
        """What was ticked, or found to be fewer."""
        given = self.cleaned_data
        return [
            Picked(
                pick.order_line, pick.content.batch, pick.content.box, given[f"n_{name}"] if given[f"tick_{name}"] else 0,
                given.get(f"only_{name}"),
            )
            for name, pick in self.picks.items() if given[f"tick_{name}"] or given.get(f"only_{name}") is not None
        ]
