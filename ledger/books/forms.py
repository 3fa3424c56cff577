"""The forms of the books."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, NoDayForm, VerbForm


class SeasonForm(forms.Form):
    """The season asked about."""

    season = forms.IntegerField(label=_("Season"), required=False, min_value=1990, max_value=2200)


class ValuationForm(forms.Form):
    """The day, the first day of the flows and the method asked for."""

    on = DayField(label=_("At the end of"))
    since = DayField(label=_("Flows since"), required=False)
    method = forms.ChoiceField(
        label=_("Method"),
        choices=[
            ("traced", _("traced to the batch")),
            ("fifo", _("first in, first out")),
            ("moving-average", _("moving average")),
            ("periodic-average", _("average of the period")),
        ],
    )


class CloseForm(VerbForm):
    """The last day of the year to close."""

    on = DayField(label=_("Last day of the year"))


class ReopenForm(NoDayForm):
    """Nothing but the wish to open the year again."""


class ProofForm(forms.Form):
    """The day the money is proved as of."""

    on = DayField(label=_("As of"), required=False)


class StretchForm(forms.Form):
    """The stretch of days asked about."""

    first = DayField(label=_("From"))
    last = DayField(label=_("To"))

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        first, last = given.get("first"), given.get("last")
        if first and last and first > last:
            raise ValidationError(_("The last day lies before the first."), code="backwards")
        return given


class MarginForm(StretchForm):
    """The stretch of days, and what the margins are told by."""

    by = forms.ChoiceField(
        label=_("By"),
        choices=[
            ("line", _("what was sold")), ("customer", _("customer")), ("way", _("way of selling")),
            ("market_day", _("market day")),
        ],
    )
