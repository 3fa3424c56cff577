"""Words for templates: money, areas, what a person may do."""

from decimal import Decimal
from typing import Any

from django import template

from ledger.facts.models import Holding, User
from ledger.reckoning.currency import format_minor, minor_digits

register = template.Library()


@register.simple_tag(takes_context=True)
def money(context: template.Context, amount: int | None) -> str:
    """Whole minor units in the holding's currency; a dash where nothing is known."""
    if amount is None:
        return "–"
    holding = context.get("holding") or Holding.objects.filter(pk=1).first()
    return format_minor(amount, minor_digits(holding.currency if holding else "GBP"))


@register.filter
def may(user: Any, what: str) -> bool:
    """Whether the person signed in may do `what`."""
    return isinstance(user, User) and user.may(what)


@register.filter
def per_cent(bp: int | None) -> str:
    """Hundredths of a per cent as a percentage."""
    return "–" if bp is None else f"{Decimal(bp) / 100:f} %"
