"""Whether what was sold, packed and sent is what left the stock book and the lots."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import F, Q, Sum

from ledger.sales.models import DispatchLine, OrderLine, Packing, SaleLine, SaleTaking
from ledger.stock.models import HoldChange


def sold_differences() -> Iterable[str]:
    """Every sale line, packing, dispatch and promise that does not agree with what was taken for it."""
    yield from _retail()
    yield from _packed_and_sent()
    yield from _promised()


def _retail() -> Iterable[str]:
    rows = SaleLine.objects.filter(sale__undone_at__isnull=True).order_by("pk")
    for pk, quantity, left in rows.filter(parting__isnull=False).values_list("pk", "quantity", "parting__stems"):
        if quantity != left:
            yield f"sale line {pk}: {quantity} stems sold, {left} left the lot"
    standing = SaleTaking.objects.filter(movement__undone_at__isnull=True)
    taken = dict(standing.values_list("line").annotate(n=-Sum("movement__bunches")).order_by("line"))
    for pk, quantity in rows.filter(line__isnull=False).values_list("pk", "quantity"):
        if quantity != taken.get(pk, 0):
            yield f"sale line {pk}: {quantity} bunches sold, {taken.get(pk, 0)} left the stock book"


def _packed_and_sent() -> Iterable[str]:
    packings = Packing.objects.filter(undone_at__isnull=True).order_by("pk")
    right = Q(put__bunches=F("bunches"), taken__bunches=-F("bunches"), put__undone_at=None, taken__undone_at=None)
    for pk, bunches in packings.exclude(right).values_list("pk", "bunches"):
        yield f"packing {pk}: {bunches} packed, the stock book says otherwise"
    sent = DispatchLine.objects.filter(dispatch__undone_at__isnull=True).order_by("pk")
    for pk, bunches in sent.exclude(movement__bunches=-F("bunches"), movement__undone_at=None).values_list("pk", "bunches"):
        yield f"dispatch line {pk}: {bunches} sent, the stock book says otherwise"


def _promised() -> Iterable[str]:
    """The first promise of an order's line is on its hold, and no more is promised than was asked for."""
    changes = HoldChange.objects.filter(undone_at__isnull=True)
    first = dict(changes.filter(why=HoldChange.Why.PROMISED).order_by("-pk").values_list("hold", "bunches"))
    kept = changes.filter(why__in=[HoldChange.Why.PROMISED, HoldChange.Why.RELEASED]).values_list("hold")
    entered = dict(kept.annotate(n=Sum("bunches")).order_by("hold"))
    lines = OrderLine.objects.filter(order__undone_at__isnull=True).order_by("pk")
    for pk, hold, promised, asked in lines.values_list("pk", "hold", "promised", "asked"):
        if promised and first.get(hold, 0) != promised:
            yield f"order line {pk}: {promised} promised, {first.get(hold, 0)} held for it"
        if entered.get(hold, 0) > asked:
            yield f"order line {pk}: {asked} asked for, {entered[hold]} promised"
