"""Rows of what was lost, by reason, for every form of coming down."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm

from ..models import Loss


class LosingForm(VerbForm):
    """A form with `loss_places` rows of a number lost and why, between the fields `before` and `after` them."""

    loss_places: ClassVar[int] = 3
    loss_label: Any = _("Lost of these")
    before: ClassVar[tuple[str, ...]] = ()
    after: ClassVar[tuple[str, ...]] = ("on",)

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        for row in self._rows:
            self.fields[f"lost_{row}"] = forms.IntegerField(label=self.loss_label, min_value=0, required=False)
            self.fields[f"reason_{row}"] = forms.ChoiceField(
                label=_("because"), choices=[("", "–"), *Loss.Reason.choices], required=False
            )
        losses = [f"{what}_{row}" for row in self._rows for what in ("lost", "reason")]
        self.order_fields([*self.before, *losses, *self.after])

    @property
    def _rows(self) -> range:
        return range(1, self.loss_places + 1)

    def loss_rows(self) -> list[tuple[Any, Any]]:
        """The pairs of fields, number and reason, for the page."""
        return [(self[f"lost_{row}"], self[f"reason_{row}"]) for row in self._rows]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for row in self._rows:
            if given.get(f"lost_{row}") and not given.get(f"reason_{row}"):
                self.add_error(f"reason_{row}", forms.ValidationError(_("Say why they were lost."), code="no_reason"))
        return given

    def losses(self) -> dict[str, int]:
        """Stems lost by reason; a reason named twice counts together."""
        lost: dict[str, int] = {}
        for row in self._rows:
            number, reason = self.cleaned_data[f"lost_{row}"] or 0, self.cleaned_data[f"reason_{row}"]
            if number:
                lost[reason] = lost.get(reason, 0) + number
        return lost
