"""The forms of costing."""

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm


class OverheadsForm(VerbForm):
    """A year's expected overheads and the base they are spread on."""

    year = forms.IntegerField(label=_("Year (in which it ends)"), min_value=1990, max_value=2200)
    overheads = MoneyField(
        label=_("Expected overheads of the year"),
        help_text=_("Insurance, office, vehicle, unbooked hours: what no bed, hanging or bunch can be named for."),
    )
    usual_idle_and_luck = MoneyField(
        label=_("Usual idle space and bad luck of a year"), initial=0,
        help_text=_("An average of seasons, never this year's disaster."),
    )
    usual_base = MoneyField(
        label=_("Usual cost of a year's bunches up to the box"),
        help_text=_("Unpaid work included. Each bunch bears overheads in proportion to its own cost."),
    )
    source = forms.CharField(label=_("Where these figures come from"), max_length=200, required=False)


class AsOfForm(forms.Form):
    """The day a figure is asked for."""

    on = DayField(label=_("As of"), required=False)
