"""What sales has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from ledger.facts.models import User

from .models import Invoice, Order, OrderLine, Parcel, StallDay
from .queries.job_notes import job_notes
from .queries.lacking import could_be_filled
from .queries.standing import AHEAD, due_by
from .queries.tin import not_paid_out
from .queries.workshop_notes import workshop_notes

Says = tuple[Any, str]
PAYOUT_TAKES = timedelta(14)


def markets(user: User, on: date) -> Iterator[Says]:
    """Where one sells that day: the markets open then."""
    for day in StallDay.objects.open_on(on) if user.may("selling") else ():
        yield _("Sell at %(market)s") % {"market": day.name}, f"{reverse('sales:sell')}?stall_day={day.pk}"


def notes(user: User, on: date) -> Iterator[Says]:
    """Orders to be packed, to be sent, to come round and to be invoiced, invoices overdue, jobs, card sales not paid out."""
    orders = Order.objects.standing().with_standing()
    if user.may("packing"):
        n = OrderLine.objects.standing().with_standing().filter(to_pack__gt=0).values("order").distinct().count()
        yield from _note(n, ngettext("%(n)d order is to be packed", "%(n)d orders are to be packed", n), "orders", "open")
        n = Parcel.objects.to_go().filter(order__undone_at=None).count()
        yield from _note(n, ngettext("%(n)d parcel is to be sent", "%(n)d parcels are to be sent", n), "orders", "packed")
    if user.may("selling"):
        n = len(could_be_filled())
        if n:
            says = ngettext(
                "%(n)d line of an order lacks some that is free now", "%(n)d lines of orders lack some that is free now", n
            )
            yield says % {"n": n}, reverse("sales:lacking")
        n = len(due_by(on + AHEAD))
        if n:
            says = ngettext("%(n)d standing order comes round", "%(n)d standing orders come round", n)
            yield says % {"n": n}, reverse("sales:standing_orders")
        yield from _to_put_away(on)
    if user.may("invoices"):
        n = orders.to_be_invoiced().count()
        says = ngettext("%(n)d order is to be invoiced", "%(n)d orders are to be invoiced", n)
        yield from _note(n, says, "orders", "to_invoice")
        n = Invoice.objects.overdue(on).count()
        yield from _note(n, ngettext("%(n)d invoice is overdue", "%(n)d invoices are overdue", n), "invoices", "overdue")
    yield from job_notes(user, on)
    yield from workshop_notes(user, on)
    if user.may("money"):
        n = not_paid_out(on - PAYOUT_TAKES)
        if n:
            says = ngettext("%(n)d card sale was not paid out yet", "%(n)d card sales were not paid out yet", n)
            yield says % {"n": n}, reverse("sales:card_payouts")


def _to_put_away(on: date) -> Iterator[Says]:
    """Stall days gone by whose boxes nobody counted back in."""
    days = StallDay.objects.still_out(on)
    n = days.count()
    if n:
        says = ngettext("%(n)d stall day is to be put away", "%(n)d stall days are to be put away", n)
        yield says % {"n": n}, days[0].get_absolute_url()


def _note(n: int, says: str, name: str, state: str) -> Iterator[Says]:
    if n:
        yield says % {"n": n}, f"{reverse(f'sales:{name}')}?state={state}"
