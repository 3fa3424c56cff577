"""The forms of costing."""

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.growing.models import Variety


class OverheadsForm(VerbForm):
    """A year's expected overheads and the base they are spread on."""

    year = forms.IntegerField(label=_("Year (in which it ends)"), min_value=1990, max_value=2200)
    overheads = MoneyField(
        label=_("Expected overheads of the year"),
        help_text=_("Insurance, office, vehicle, unbooked hours: what no bed, hanging or bunch can be named for."),
    )
    storage = MoneyField(
        label=_("Expected cost of storing boxed bunches"), initial=0,
        help_text=_("The store's rent, heat, power and upkeep, boxes and shelves of a year."),
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


class MoveKindForm(VerbForm):
    """Which bases a kind of cost belongs to from a day on."""

    in_stock = forms.BooleanField(
        label=_("Part of stock cost"), required=False,
        help_text=_("Inputs, paid labour and production space up to the boxed bunch, by the usual rules for stock."),
    )
    in_shelf = forms.BooleanField(label=_("Part of the cost to the shelf, which prices rest on"), required=False)
    why = forms.CharField(label=_("Why"), max_length=200)


class AsOfForm(forms.Form):
    """The day a figure is asked for."""

    on = DayField(label=_("As of"), required=False)


class AsKnownForm(AsOfForm):
    """The day a figure is asked for, and the moment by which its facts were entered."""

    known = forms.DateTimeField(
        label=_("As known at"), required=False, help_text=_("Leave it empty for all that is known now."),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )


class VarietyAskedForm(AsOfForm):
    """One variety, or all, as of a day."""

    variety = forms.ModelChoiceField(
        Variety.objects.select_related("species"), label=_("Variety"), required=False, empty_label=_("all varieties")
    )

    field_order = ("season", "variety", "on")


class SeasonAskedForm(VarietyAskedForm):
    """A season, of one variety or all, as of a day."""

    season = forms.IntegerField(label=_("Season"), required=False, min_value=1990, max_value=2200)
