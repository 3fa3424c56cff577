"""The tin of a stall day, and what the card company paid out."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.daybook.actions import BoughtLine, record_purchase, undo_purchase
from ledger.daybook.models import Purchase
from ledger.facts.actions import undo_within
from ledger.facts.models import CostKind, CostObject, User
from ledger.facts.queries import holding
from ledger.facts.writing import action, record, refusal, require_standing
from ledger.pricing.models import Way
from ledger.sales.models import CardPayout, StallDay, TinCount
from ledger.sales.queries.tin import card_by_stall_day


@action("selling")
def count_tin(*, by: User, stall_day: StallDay, when: str, amount: int, note: str = "") -> TinCount:
    """Record the cash in a stall day's tin before the first sale or after the last, minor units; each once."""
    stall_day = StallDay.objects.lock(stall_day)
    require_standing(stall_day, "stall_day")
    if stall_day.tin_counts.filter(when=when, undone_at=None).exists():
        raise refusal("when", _("That is counted already; undo it to count anew."), code="counted_already")
    return record(TinCount(on=stall_day.on, stall_day=stall_day, when=when, amount=amount, note=note), by=by)


@action("selling")
def undo_tin(*, by: User, tin_count: TinCount) -> TinCount:
    """Undo a count of the tin: it can be counted anew."""
    return undo_within(tin_count, by=by)


@action("money")
def record_card_payout(
    *, by: User, on: date, way: Way, first_day: date, last_day: date, gross: int, fee: int = 0
) -> CardPayout:
    """Record what the card company paid out for some days, minor units; a fee it kept is entered as a purchase too."""
    if first_day > last_day:
        raise refusal("last_day", _("The first day cannot come after the last."), code="days_in_order")
    if on < last_day:
        raise refusal("on", _("The money cannot come before the last day of sale."), code="too_early")
    if fee >= gross:
        raise refusal("fee", _("A fee is less than what it is taken from."), code="fee_too_high")
    Way.objects.select_for_update(no_key=True).get(pk=way.pk)
    _refuse_overlap(way, first_day, last_day)
    fee_bought = _enter_fee(by, on, way, first_day, last_day, fee) if fee else None
    payout = CardPayout(
        on=on, way=way, first_day=first_day, last_day=last_day, gross=gross, fee=fee, purchase=fee_bought
    )
    return record(payout, by=by)


def _refuse_overlap(way: Way, first: date, last: date) -> None:
    """Each day's card sales are paid out once."""
    other = CardPayout.objects.standing().filter(way=way, first_day__lte=last, last_day__gte=first).first()
    if other is not None:
        raise refusal("first_day", _("%(payout)s covers some of those days already."), code="covered", payout=other)


def _enter_fee(by: User, on: date, way: Way, first: date, last: date, fee: int) -> Purchase:
    """The fee as a bill, spent on the stall days it covers by their card takings, else on the holding."""
    taken = card_by_stall_day(way, first, last)
    days = CostObject.objects.in_bulk(taken)
    spent_on = [(days[pk], worth) for pk, worth in taken.items()] or [(holding().cost_object, 1)]
    kind = CostKind.objects.get(code="fees")
    line = BoughtLine(str(_("Card fee")), kind, fee, 0, spent_on)
    return record_purchase(by=by, on=on, supplier=str(_("Card company, %(way)s")) % {"way": way}, lines=[line])


@action("money")
def undo_card_payout(*, by: User, card_payout: CardPayout) -> CardPayout:
    """Undo a payout together with the purchase of its fee."""
    payout = undo_within(card_payout, by=by)
    if payout.purchase is not None:
        undo_purchase(by=by, purchase=payout.purchase)
    return payout
