"""The sheet of a loft round."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import SheetForm

from ..actions import DownRow
from ..models import Hanging, Loss
from ..queries import Up


class TakeDownRoundForm(SheetForm):
    """A row for each hanging up in a place: how many came down, or all of it, and what was lost of these."""

    def __init__(self, *args: Any, ups: Sequence[Up], **given: Any) -> None:
        super().__init__(*args, **given)
        self.ups = ups
        for up in ups:
            self._add_row(up.hanging)

    def _add_row(self, hanging: Hanging) -> None:
        key, what = hanging.pk, {"what": hanging.parting.lot.planting.variety, "on": hanging.parting.on}
        self.number(f"n_{key}", _("%(what)s hung %(on)s: taken down") % what)
        self.tick(f"all_{key}", _("%(what)s hung %(on)s: all of it") % what)
        self.number(f"lost_{key}", _("%(what)s hung %(on)s: lost of these") % what)
        self.choice(f"why_{key}", _("%(what)s hung %(on)s: lost because") % what, [("", "–"), *Loss.Reason.choices])

    def sheet(self) -> Iterator[tuple[Up, list[tuple[Any, BoundField]]]]:
        """Each hanging with its labelled fields."""
        words = {"n": _("Taken down"), "lost": _("Lost"), "why": _("because"), "all": _("All of it is down")}
        for up in self.ups:
            yield up, [(word, self[f"{name}_{up.hanging.pk}"]) for name, word in words.items()]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for up in self.ups:
            number, whole = given.get(f"n_{up.hanging.pk}"), given.get(f"all_{up.hanging.pk}")
            if whole and number and number != up.hanging.stems_up:
                self.add_error(f"n_{up.hanging.pk}", forms.ValidationError(
                    _("All of it is %(up)d: give the number or the tick."), code="both", params={"up": up.hanging.stems_up},
                ))
        for key in (up.hanging.pk for up in self.ups if given.get(f"lost_{up.hanging.pk}")):
            if not given.get(f"why_{key}"):
                self.add_error(f"why_{key}", forms.ValidationError(_("Say why they were lost."), code="no_reason"))
            if not given.get(f"n_{key}") and not given.get(f"all_{key}"):
                self.add_error(f"n_{key}", forms.ValidationError(_("Say how many came down."), code="no_count"))
        return given

    def rows(self) -> list[DownRow]:
        """The rows filled in."""
        return [row for row in (self._row(up.hanging) for up in self.ups) if row.stems]

    def _row(self, hanging: Hanging) -> DownRow:
        given = {name: self.cleaned_data[f"{name}_{hanging.pk}"] for name in ("n", "all", "lost", "why")}
        stems = given["n"] or (hanging.stems_up if given["all"] else 0)
        return DownRow(hanging, stems, {given["why"]: given["lost"]} if given["lost"] else {})
