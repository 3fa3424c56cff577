"""Forms of lines and holds."""

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, VerbForm
from ledger.growing.models import Species, Variety
from ledger.stock.models import Line


class LineForm(NoDayForm):
    """A new line: a bunch of so many stems, a weight of so many grams, or a piece."""

    variety = forms.ModelChoiceField(
        queryset=Variety.objects.select_related("species"), label=_("Variety"), required=False,
        empty_label=_("none: made up or mixed"),
    )
    name = forms.CharField(
        label=_("Name"), max_length=80, required=False,
        help_text=_("For made-up goods and mixed bunches, such as “Wreath 30 cm”."),
    )
    colour = forms.CharField(
        label=_("Colour"), max_length=40, required=False, help_text=_("Only where it is not the variety's own.")
    )
    grade = forms.ChoiceField(label=_("Grade"), choices=Line.Grade.choices)
    finish = forms.ChoiceField(label=_("Finish"), choices=Line.Finish.choices)
    unit = forms.ChoiceField(label=_("Sold by"), choices=Line.Unit.choices)
    stems = forms.IntegerField(
        label=_("Stems to the bunch"), min_value=1, max_value=1000, required=False,
        help_text=_("Common practice: ten, or five if they are big. Empty for a weight or a piece."),
    )
    grams = forms.IntegerField(
        label=_("Grams to the unit"), min_value=1, max_value=100_000, required=False, help_text=_("For a weight only.")
    )


class HoldForm(VerbForm):
    """What to keep, and for whom."""

    line = forms.ModelChoiceField(queryset=Line.objects.whole(), label=_("Line"))
    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=1_000_000)
    for_what = forms.CharField(label=_("For"), max_length=120)
    field_order = ["line", "bunches", "for_what", "on"]


class BunchesForm(VerbForm):
    """So many of what the page is about."""

    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=1_000_000)
    field_order = ["bunches", "on"]


class KeepsForForm(VerbForm):
    """How many days bunches are at their best."""

    species = forms.ModelChoiceField(
        queryset=Species.objects.order_by("name"), label=_("Species"), required=False,
        empty_label=_("any that is not named by itself"),
    )
    days = forms.IntegerField(label=_("Days at their best"), min_value=1, max_value=10_000)
    field_order = ["species", "days", "on"]
