"""What was paid in which way, beside what the tin and the card company say."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, F, OuterRef, QuerySet, Sum

from ledger.pricing.models import Way
from ledger.sales.models import CardPayout, PlacesGivenBack, PlacesSold, Sale, SaleLine, StallDay, TinCount

WORTH = Sum(F("quantity") * F("price") - F("off"))


@dataclass(frozen=True)
class Tin:
    """A stall day's money, minor units: counts before and after, takings by how they were paid."""

    before: TinCount | None
    after: TinCount | None
    cash: int
    card: int
    transfer: int

    @property
    def difference(self) -> int | None:
        """Counted less the float less cash sales; None until both are counted."""
        if self.before is None or self.after is None:
            return None
        return self.after.amount - self.before.amount - self.cash


def tin_of(day: StallDay) -> Tin:
    """The tin of a stall day as it stands now."""
    lines = SaleLine.objects.filter(sale__stall_day=day, sale__undone_at=None)
    paid = dict(lines.order_by().values_list("sale__paid").annotate(worth=WORTH))
    counts = {one.when: one for one in TinCount.objects.standing().filter(stall_day=day)}
    return Tin(counts.get("before"), counts.get("after"), *(paid.get(one, 0) for one in ("cash", "card", "transfer")))


def card_by_stall_day(way: Way, first: date, last: date) -> dict[int, int]:
    """Card takings of each stall day that took any, by its key, minor units as prices were kept."""
    return dict(
        _card_lines(way, first, last).exclude(sale__stall_day=None).order_by("sale__stall_day")
        .values_list("sale__stall_day").annotate(worth=WORTH).filter(worth__gt=0)
    )


def card_sales(way: Way, first: date, last: date) -> int:
    """Card takings of one way on some days, of sales and of places of workshops less what was returned, as prices were kept."""
    sold: int = _card_lines(way, first, last).aggregate(worth=WORTH)["worth"] or 0
    return sold + _card_places(way, first, last)


def _card_places(way: Way, first: date, last: date) -> int:
    places = PlacesSold.objects.standing().filter(workshop__way=way, paid="card", on__gte=first, on__lte=last)
    back = PlacesGivenBack.objects.standing().filter(sold__workshop__way=way, sold__paid="card", on__gte=first, on__lte=last)
    paid: int = places.aggregate(n=Sum(F("places") * F("price")))["n"] or 0
    returned: int = back.aggregate(n=Sum("returned"))["n"] or 0
    return paid - returned


def not_paid_out(before: date) -> int:
    """How many standing card sales, of goods or of places, before a day no standing payout covers."""
    sales = Sale.objects.standing().filter(paid="card", on__lt=before).exclude(Exists(_covering("way")))
    places = PlacesSold.objects.standing().filter(paid="card", on__lt=before).exclude(Exists(_covering("workshop__way")))
    return sales.count() + places.count()


def _covering(way: str) -> QuerySet[CardPayout]:
    return CardPayout.objects.standing().filter(
        way=OuterRef(way), first_day__lte=OuterRef("on"), last_day__gte=OuterRef("on")
    )


def _card_lines(way: Way, first: date, last: date) -> QuerySet[SaleLine]:
    return SaleLine.objects.filter(
        sale__way=way, sale__paid="card", sale__on__gte=first, sale__on__lte=last, sale__undone_at=None
    )
