"""The holding itself, its people and its tax."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import make_holding, set_tax_rate, set_tax_status
from ledger.facts.models import Holding, TaxStatus, User
from ledger.facts.writing import action, keep, refusal

from ..columns import Currency, Day, OneOf, PerCent, Whole, Words, Zone
from ..rows import Kind


@action("settings")
def _holding(*, by: User, owner: str = "", **settings: Any) -> Holding:
    """Make the holding; `owner` matters only where nobody was there to do it."""
    if Holding.objects.exists():
        raise refusal("name", _("This ledger has its holding already; leave the file out."), code="already_set_up")
    return make_holding(by=by, **settings)


@action("settings")
def _person(*, by: User, username: str, role: str) -> User:
    """Enter a person who cannot sign in until the owner sets a password."""
    person = User(username=username, role=role)
    person.set_unusable_password()
    return keep(person)


KINDS = (
    Kind(
        "holding", "settings", _("the holding, on an empty ledger only"), _holding,
        (
            Words("name"), Words("address", required=False), Currency("currency"), Zone("time_zone"),
            Whole("year_end_month"), Whole("year_end_day"), Whole("season_first_month"),
            Words("owner", required=False, about=_("who owns the ledger, where nobody is there yet")),
        ),
    ),
    Kind(
        "people", "settings", _("people who may sign in once a password is set"), _person,
        (Words("username"), OneOf("role", words=tuple(User.Role.values))),
    ),
    Kind(
        "tax_statuses", "settings", _("what the seller is towards sales tax, from a day"), set_tax_status,
        (
            Day("on"), OneOf("status", words=tuple(TaxStatus.Status.values)), Words("number", required=False),
            PerCent("addition_per_cent", gives="addition_bp", required=False),
        ),
    ),
    Kind(
        "tax_rates", "settings", _("the tax rate, from a day"), set_tax_rate,
        (Day("on"), PerCent("rate_per_cent", gives="rate_bp")),
    ),
)
