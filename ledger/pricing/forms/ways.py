"""Forms of ways of selling and their terms."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.daybook.forms.week import MinutesField
from ledger.facts.forms import MoneyField, NoDayForm, PercentField, VerbForm
from ledger.reckoning.price import WHOLE_BP

from ..models import Way, WayTerms

KIND_HELP = _(
    "A stall has its day to pay for, post its parcels, trade its deliveries and the wait for the money; the gate only a card "
    "fee. Made-up work can have all of them."
)


class WayForm(NoDayForm):
    """A new way of selling; what is trade is sold on order."""

    name = forms.CharField(label=_("Name"), max_length=60)
    kind = forms.ChoiceField(label=_("Kind"), choices=Way.Kind.choices, initial=Way.Kind.STALL, help_text=KIND_HELP)
    with_tax = forms.BooleanField(
        label=_("Its prices are kept with tax"), required=False, initial=True, help_text=_("Untick it for trade, as a rule.")
    )

    def given(self) -> dict[str, Any]:
        return {**super().given(), "trade": self.cleaned_data["kind"] == Way.Kind.TRADE}


class ChangeWayForm(NoDayForm):
    """Another name or kind for a way; the hidden fields keep what the form showed."""

    name = forms.CharField(label=_("Name"), max_length=60)
    kind = forms.ChoiceField(label=_("Kind"), choices=Way.Kind.choices, help_text=KIND_HELP)
    seen_name = forms.CharField(widget=forms.HiddenInput, required=False)
    seen_kind = forms.CharField(widget=forms.HiddenInput, required=False)


class HoursField(MinutesField):
    """Minutes, shown as hours and minutes."""

    def prepare_value(self, value: Any) -> Any:
        return f"{value // 60}:{value % 60:02}" if isinstance(value, int) else value


CARD, DAY = ("fee_bp", "card_share_bp"), ("fixed_day", "pitch_bp", "day_minutes", "hour_cost", "usual_takings")
PARCEL, WAIT = ("fixed_parcel", "carriage", "usual_parcel"), ("days_to_wait", "interest_bp", "bad_debt_bp")
COSTS_OF: dict[str, tuple[str, ...]] = {
    Way.Kind.STALL: (*DAY, *CARD),
    Way.Kind.GATE: CARD,
    Way.Kind.POST: (*PARCEL, *CARD),
    Way.Kind.TRADE: ("carriage", "usual_parcel", *WAIT),
    Way.Kind.MADE_UP: (*DAY, *PARCEL, *CARD, *WAIT),
}
ALWAYS = ("margin_bp", "ending", "ending_every")


def costs_of(kind: str, now: WayTerms | None) -> list[str]:
    """The costs a kind can have, and any other that the terms in force have: none is lost because it is not asked for."""
    return [name for name in COSTS_OF[Way.Kind.MADE_UP] if name in COSTS_OF[kind] or (now is not None and _holds(now, name))]


def _holds(terms: WayTerms, name: str) -> bool:
    """Whether that cost is another than where nothing was said of it."""
    return bool(getattr(terms, name) != getattr(WayTerms(), name))


class TermsForm(VerbForm):
    """What a way of a kind costs from a day on, and the margin wanted; `costs`: those that are asked for."""

    fixed_day = MoneyField(
        label=_("Pitch and other fixed cost of a day"), required=False, initial=0,
        help_text=_("Pitch, drive, parking: the same whatever is sold.")
    )
    pitch_bp = PercentField(
        label=_("Pitch by takings (%)"), required=False, initial=0, max_value=99,
        help_text=_("Where the market takes its part of what is sold.")
    )
    day_minutes = HoursField(
        label=_("Hours of a day"), required=False, initial=0, help_text=_("Loading, driving, standing, unloading, such as 7:30.")
    )
    hour_cost = MoneyField(label=_("What such an hour costs"), required=False, initial=0)
    usual_takings = MoneyField(
        label=_("Usual takings of a day"), required=False, initial=0,
        help_text=_("With tax. The costs of the day are shared over them.")
    )
    fixed_parcel = MoneyField(
        label=_("Box and packing of a parcel"), required=False, initial=0, help_text=_("Not the bunches in it.")
    )
    carriage = MoneyField(
        label=_("Carriage or delivery not charged on"), required=False, initial=0,
        help_text=_("What one parcel or delivery costs you; nothing where the customer pays it.")
    )
    usual_parcel = MoneyField(
        label=_("Usual worth of a parcel or delivery"), required=False, initial=0,
        help_text=_("With tax. Box, packing and carriage are shared over it.")
    )
    fee_bp = PercentField(
        label=_("Card fee or commission (%)"), required=False, initial=0, max_value=99,
        help_text=_("Of what is taken, tax included.")
    )
    card_share_bp = PercentField(
        label=_("Share of takings it is paid on (%)"), required=False, initial=WHOLE_BP,
        help_text=_("60 where four of ten pounds come as cash.")
    )
    days_to_wait = forms.IntegerField(
        label=_("Days until the money comes"), required=False, initial=0, min_value=0, max_value=365
    )
    interest_bp = PercentField(
        label=_("What money costs a year (%)"), required=False, initial=0, max_value=99,
        help_text=_("What an overdraft takes, or savings would bring.")
    )
    bad_debt_bp = PercentField(
        label=_("Allowance for bad debts (%)"), required=False, initial=0, max_value=99,
        help_text=_("Of what is invoiced, what is never paid.")
    )
    margin_bp = PercentField(label=_("Margin wanted (%)"), initial=3000, max_value=99, help_text=_("Of the price without tax."))
    ending = MoneyField(
        label=_("How prices end"), required=False,
        help_text=_("0.50: prices go up to the next that ends in .50. Empty: as it comes out.")
    )
    ending_every = MoneyField(
        label=_("of every"), required=False,
        help_text=_("Empty: of every whole pound, euro or whatever the currency is. 0.00 of every 0.50 gives 1.00, 1.50, 2.00.")
    )

    def __init__(self, *args: Any, costs: Sequence[str], **given: Any) -> None:
        super().__init__(*args, **given)
        self.order_fields([*costs, *ALWAYS, "on"])
        for name in [name for name in self.fields if name in COSTS_OF[Way.Kind.MADE_UP] and name not in costs]:
            del self.fields[name]
        self.fields["on"].label = _("From")

    def given(self) -> dict[str, Any]:
        """What was typed; a cost left empty is none, the card share the whole."""
        typed = super().given()
        return {name: value for name, value in typed.items() if value is not None or name in {"ending", "ending_every"}}
