"""What is charged in a retail sale: prices as typed, else own prices, else the list with its steps and offers."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.writing import refusal
from ledger.growing.models import Lot
from ledger.pricing.models import Offer, Way
from ledger.pricing.queries import price_on
from ledger.reckoning.offers import Piece, Several, Units, take_off
from ledger.sales.models import Customer
from ledger.sales.queries.agreed import own_price_on
from ledger.sales.queries.offering import severals
from ledger.stock.models import Batch, Box, Line


@dataclass(frozen=True)
class Sold:
    """So many bunches of a line (from a box, else the oldest first), or of a lot sold fresh, each of `stems_each` stems.

    `price` of one as the way keeps it, minor units, left alone; None: the customer's
    own price, else the list with its quantity steps and offers. `why`: the reason for
    another price than the list's. `batch`: of this one only.
    """

    quantity: int
    line: Line | None = None
    lot: Lot | None = None
    price: int | None = None
    box: Box | None = None
    stems_each: int = 1
    why: str = ""
    batch: Batch | None = None


@dataclass(frozen=True)
class Charged:
    """One thing sold: the price of one, whether offers count towards it, and why it is not the list's (empty: it is)."""

    sold: Sold
    price: int
    listed: bool = False
    why: str = ""


def priced(
    lines: Sequence[Sold], way: Way, on: date, customer: Customer | None
) -> Iterator[tuple[Charged, list[Piece]]]:
    """What was sold and charged, and its pieces by offer; one piece where no offer counts."""
    charged = [_charge(sold, lines, way, on, customer) for sold in lines]
    yield from zip(charged, _by_offers(charged, way, on), strict=True)


def _charge(sold: Sold, lines: Sequence[Sold], way: Way, on: date, customer: Customer | None) -> Charged:
    if sold.price is not None and sold.price < 0:
        raise refusal("price", _("A price cannot be below zero."), code="negative")
    line = sold.line
    quantity = sum(one.quantity for one in lines if line is not None and one.line == line)
    own = own_price_on(customer, line, way, on, quantity) if line else None
    listed = price_on(line, way, on, quantity) if line else None
    if sold.price is not None:
        of_one = price_on(line, way, on) if line else None
        return Charged(sold, sold.price, why=_why(sold, sold.price, {own, listed, of_one} - {None}))
    if own is not None:
        return Charged(sold, own)
    if listed is None:
        raise refusal("price", _("%(what)s has no price by %(way)s that day. Give one."), code="no_price",
                      what=sold.line or sold.lot, way=way)
    return Charged(sold, listed, listed=True)


def _why(sold: Sold, price: int, said: Collection[int | None]) -> str:
    """The reason for a price that is none of those said for it; refused where there is none."""
    if not said or price in said:
        return ""
    if not sold.why.strip():
        raise refusal(
            "why", _("%(what)s has another price by the list that day. Say why it was sold at this one."), code="no_why",
            what=sold.line,
        )
    return sold.why.strip()


def _by_offers(charged: Sequence[Charged], way: Way, on: date) -> list[list[Piece]]:
    """The pieces of each; offers count towards what is sold at the list's prices only."""
    offers = [] if way.trade else open_offers(way, on)
    units = [Units(one.sold.line.pk if one.sold.line and one.listed else 0, one.sold.quantity, one.price) for one in charged]
    return take_off(units, offers)


def open_offers(way: Way, on: date) -> list[Several]:
    """The offers of a way that hold that day."""
    return severals(Offer.objects.open_on(on).filter(way=way).prefetch_related("lines"))
