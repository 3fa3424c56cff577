"""Forms of workshops."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Sale
from ledger.sales.models.workshops import MOST_PLACES

from .jobs import only_one


class WorkshopForm(VerbForm):
    """A workshop to be held."""

    waits = False
    name = forms.CharField(label=_("Name"), max_length=80, help_text=_("What is made there."))
    held_on = DayField(label=_("Day of the workshop"))
    places = forms.IntegerField(label=_("Places"), min_value=1, max_value=MOST_PLACES)
    price = MoneyField(label=_("Price of a place"), help_text=_("As the way of selling keeps its prices."))
    way = forms.ModelChoiceField(
        queryset=Way.objects.all(), label=_("Way of selling"), help_text=_("Its fees and its wanted margin are the workshop's."),
    )
    note = forms.CharField(label=_("Note"), max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 3}))
    on = DayField(label=_("Offered"))
    field_order = ["name", "held_on", "way", "places", "price", "note", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["way"].initial = only_one(Way.objects.all())


class SellPlacesForm(VerbForm):
    """Places sold to somebody, named or not."""

    places = forms.IntegerField(label=_("Places"), min_value=1, max_value=MOST_PLACES, initial=1)
    price = MoneyField(label=_("Price of a place"), required=False, help_text=_("Empty: as offered."))
    who = forms.CharField(label=_("Who"), max_length=80, required=False)
    customer = forms.ModelChoiceField(
        queryset=Customer.objects.named(), label=_("Customer"), required=False, empty_label=_("nobody on the list")
    )
    paid = forms.ChoiceField(label=_("Paid by"), choices=Sale.Paid, widget=forms.RadioSelect, initial=Sale.Paid.CASH)
    field_order = ["places", "who", "paid", "price", "customer", "on"]


class GivePlacesBackForm(VerbForm):
    """Places somebody gave back, and the money returned."""

    places = forms.IntegerField(label=_("Places given back"), min_value=1, max_value=MOST_PLACES)
    returned = MoneyField(
        label=_("Money returned"), help_text=_("For all of them; 0 where nothing is. What is not returned stays income."),
    )
    field_order = ["places", "returned", "on"]


class CallOffForm(VerbForm):
    """Why a workshop is called off."""

    why = forms.CharField(label=_("Why"), max_length=200, required=False)
    field_order = ["why", "on"]

