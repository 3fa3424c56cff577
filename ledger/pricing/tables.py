"""The tables of pricing."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import Offer, Price, Way
from .queries import LINE_ORDER


class PriceTable(tables.Table):
    """Prices in force: a line by a way."""

    what = tables.Column(_("Line"), accessor="line", order_by=LINE_ORDER)
    way = tables.Column(_("Way of selling"), order_by=("way__name", "pk"))
    at_least = tables.Column(_("For so many or more"), attrs={"th": {"class": "number"}})
    amount = tables.Column(_("Price"), attrs={"th": {"class": "number"}})
    on = tables.Column(_("Since"))

    class Meta:
        model = Price
        fields = ("what", "way", "at_least", "amount", "on")
        empty_text = _("No price is set yet.")


class WayTable(tables.Table):
    """Ways of selling."""

    class Meta:
        model = Way
        fields = ("name", "kind", "with_tax")
        empty_text = _("No way of selling is named yet.")


class OfferTable(tables.Table):
    """Offers, the latest first."""

    quantity = tables.Column(_("Together"), attrs={"th": {"class": "number"}})
    amount = tables.Column(_("for"), attrs={"th": {"class": "number"}})
    on = tables.Column(_("From"))

    class Meta:
        model = Offer
        fields = ("name", "way", "quantity", "amount", "on", "until")
        order_by = ("-on", "-pk")
        empty_text = _("No offer was made yet.")
