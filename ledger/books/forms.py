"""The forms of the books."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, NoDayForm, VerbForm
from ledger.growing.models import Variety

MOST_SEASONS = 30


class EarningsForm(forms.Form):
    """The seasons asked about, what they are gathered by, and what is scarce."""

    season = forms.IntegerField(label=_("Season"), required=False, min_value=1990, max_value=2200)
    until = forms.IntegerField(label=_("To (if several)"), required=False, min_value=1990, max_value=2200)
    by = forms.ChoiceField(
        label=_("By"), required=False,
        choices=[
            ("planting", _("planting")), ("variety", _("variety")), ("species", _("species")), ("bed", _("bed")),
            ("plot", _("plot")),
        ],
    )
    scarce = forms.ChoiceField(
        label=_("What is scarce"), required=False, choices=[("bed", _("bed")), ("hours", _("hours"))]
    )
    month = forms.TypedChoiceField(
        label=_("When it is scarce"), required=False, coerce=int, empty_value=None,
        choices=[("", _("the whole season")), *MONTHS.items()],
    )
    within = forms.RegexField(r"^(variety|species|bed|plot):[0-9]{1,12}$", required=False, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        """Refuse seasons that end before they begin, or more than can be shown."""
        said = super().clean() or {}
        first, last = said.get("season"), said.get("until")
        if last and not first:
            self.add_error("season", ValidationError(_("Say from which season."), code="no_first"))
        elif first and last and not first <= last < first + MOST_SEASONS:
            self.add_error("until", ValidationError(
                _("The last season lies before the first, or too far after it."), code="seasons"
            ))
        return said


class LeastStemsForm(VerbForm):
    """So few stems that they say nothing."""

    stems = forms.IntegerField(label=_("Fewest stems to judge a planting's season by"), min_value=1, max_value=1_000_000)
    field_order = ["stems", "on"]


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

    waits = False
    on = DayField(label=_("Last day of the year"))


class ReopenForm(NoDayForm):
    """Nothing but the wish to open the year again."""

    waits = False


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
            ("market_day", _("market day")), ("job", _("job and workshop")),
        ],
    )


class BedPlanForm(forms.Form):
    """The season whose beds are drawn, and a day of it."""

    season = forms.IntegerField(label=_("Season"), required=False, min_value=1990, max_value=2200)
    on = DayField(label=_("On the day"), required=False)


class FreshOrDryForm(forms.Form):
    """The season, and one variety to be shown week by week."""

    season = forms.IntegerField(label=_("Season"), required=False, min_value=1990, max_value=2200)
    variety = forms.ModelChoiceField(
        label=_("Variety"), required=False, queryset=Variety.objects.select_related("species"), empty_label=_("all of them")
    )
