"""Whether what was sold, packed and sent is what left the stock book and the lots."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import F, Q, Sum

from ledger.sales.models import AskedChange, DispatchLine, OrderLine, Packing, Sale, SaleLine, SaleTaking, StallBackRow
from ledger.stock.models import HoldChange


def sold_differences() -> Iterable[str]:
    """Every sale line, packing, dispatch and promise that does not agree with what was taken for it."""
    yield from _retail()
    yield from _seconds()
    yield from _brought_back()
    yield from _packed_and_sent()
    yield from _promised()


def _retail() -> Iterable[str]:
    rows = SaleLine.objects.filter(sale__undone_at__isnull=True).order_by("pk")
    for pk, quantity, left in rows.filter(parting__isnull=False).values_list("pk", "quantity", "parting__stems"):
        if left % quantity:
            yield f"sale line {pk}: {quantity} bunches of alike stems sold, {left} stems left the lot"
    standing = SaleTaking.objects.filter(movement__undone_at__isnull=True)
    taken = dict(standing.values_list("line").annotate(n=-Sum("movement__bunches")).order_by("line"))
    for pk, quantity in rows.filter(line__isnull=False).values_list("pk", "quantity"):
        if quantity != taken.get(pk, 0):
            yield f"sale line {pk}: {quantity} bunches sold, {taken.get(pk, 0)} left the stock book"


def _seconds() -> Iterable[str]:
    """A run that put bunches down for a sale stands as the sale stands, and they were sold by it."""
    sales = Sale.objects.exclude(rework=None).order_by("pk")
    for pk, undone, run_undone in sales.values_list("pk", "undone_at", "rework__undone_at"):
        if (undone is None) != (run_undone is None):
            yield f"sale {pk}: the run of its seconds does not stand as it does"
    strange = SaleTaking.objects.filter(sale__rework__isnull=False).exclude(movement__batch__run=F("sale__rework"))
    for pk in strange.order_by("sale").values_list("sale", flat=True).distinct():
        yield f"sale {pk}: it took other bunches than those put down to seconds for it"


def _brought_back() -> Iterable[str]:
    """What was done with what came back from a stall day stands as its putting away stands, on its day."""
    rows = StallBackRow.objects.order_by("pk").select_related("back", "count", "movement", "parting")
    for row in rows:
        fact = row.count or row.movement or row.parting
        if fact is None or fact.stands != row.back.stands or fact.on != row.back.on:
            yield f"stall back {row.back_id}: {fact} does not stand as it does"


def _packed_and_sent() -> Iterable[str]:
    packings = Packing.objects.filter(undone_at__isnull=True).order_by("pk")
    right = Q(put__bunches=F("bunches"), taken__bunches=-F("bunches"), put__undone_at=None, taken__undone_at=None)
    for pk, bunches in packings.exclude(right).values_list("pk", "bunches"):
        yield f"packing {pk}: {bunches} packed, the stock book says otherwise"
    sent = DispatchLine.objects.filter(dispatch__undone_at__isnull=True).order_by("pk")
    for pk, bunches in sent.exclude(movement__bunches=-F("bunches"), movement__undone_at=None).values_list("pk", "bunches"):
        yield f"dispatch line {pk}: {bunches} sent, the stock book says otherwise"


def _promised() -> Iterable[str]:
    """The first promise of an order's line is on its hold, and no more is promised, or stood in for, than is asked for."""
    changes = HoldChange.objects.filter(undone_at__isnull=True)
    first = dict(changes.filter(why=HoldChange.Why.PROMISED).order_by("-pk").values_list("hold", "bunches"))
    kept = changes.filter(why__in=[HoldChange.Why.PROMISED, HoldChange.Why.RELEASED]).values_list("hold")
    more = dict(AskedChange.objects.standing().values_list("order_line").annotate(n=Sum("more")).order_by("order_line"))
    instead = OrderLine.objects.filter(order__undone_at=None, instead_of__isnull=False)
    stood_in: dict[int | None, int] = defaultdict(int)
    for pk, of, asked in instead.values_list("pk", "instead_of", "asked"):
        stood_in[of] += asked + more.get(pk, 0)
    entered = dict(kept.annotate(n=Sum("bunches")).order_by("hold"))
    lines = OrderLine.objects.filter(order__undone_at__isnull=True).order_by("pk")
    for pk, hold, promised, asked in lines.values_list("pk", "hold", "promised", "asked"):
        if promised and first.get(hold, 0) != promised:
            yield f"order line {pk}: {promised} promised, {first.get(hold, 0)} held for it"
        wanted = asked + more.get(pk, 0)
        if entered.get(hold, 0) > wanted:
            yield f"order line {pk}: {wanted} asked for, {entered[hold]} promised"
        if entered.get(hold, 0) + stood_in[pk] > wanted:
            yield f"order line {pk}: {wanted} asked for, {entered.get(hold, 0)} promised and {stood_in[pk]} stood in for"
