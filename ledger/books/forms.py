"""The forms of the books."""

from django import forms
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
