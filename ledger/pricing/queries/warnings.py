"""Prices to look at: what each price in force is charged for, and what is wrong with it, worst first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from itertools import pairwise
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from ledger.costing.queries import CostSheet, cost_sheets
from ledger.facts.queries import holding, tax_rate_on
from ledger.reckoning.currency import format_minor, minor_digits
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.reckoning.tax import tax_within
from ledger.stock.models import Line

from ..models import Offer, Price, Way, WayTerms
from .proposals import margin_at
from .selling import all_terms_on
from .words import in_per_cent


class Worry(IntEnum):
    """What can be wrong with a price, the worst first."""

    BELOW_STOCK = 1
    BELOW_SHELF = 2
    THIN = 3
    OUT_OF_STEP = 4
    TOO_EARLY = 5
    PROVISIONAL = 6
    OLD = 7


PRESSING = frozenset({Worry.BELOW_STOCK, Worry.BELOW_SHELF, Worry.THIN, Worry.OUT_OF_STEP})


@dataclass(frozen=True)
class Charged:
    """One of a line at `amount` minor units by a way, as the way keeps it; `what` it is (a step, an offer, whose), since when.

    `at_least`: for so many or more at once, 0 for an offer; `whose` own price it is, by the customer's key.
    """

    line: Line
    way: Way
    amount: int
    since: date
    what: str
    url: str
    at_least: int = 0
    whose: int | None = None

    @property
    def listed(self) -> bool:
        """Whether it is the price of one on a list."""
        return self.at_least == 1 and self.whose is None


@dataclass(frozen=True)
class Warned:
    """One thing wrong with a price: what, the sentence, and where it can be mended."""

    worry: Worry
    says: str
    url: str


@dataclass(frozen=True)
class PriceToLookAt:
    """A price and all that is wrong with it, the worst first; `margin_bp` None where its cost is not known.

    `sold`: some of the line are on hand, or the way is of what is made to order.
    """

    of: Charged
    warned: Sequence[Warned]
    margin_bp: int | None
    sold: bool

    @property
    def pressing(self) -> bool:
        """Whether any of it matters at once: not for a line of which nothing is left."""
        return self.sold and self.warned[0].worry in PRESSING

    @property
    def below_cost(self) -> bool:
        return self.pressing and self.warned[0].worry <= Worry.BELOW_SHELF


def prices_to_look_at(on: date) -> list[PriceToLookAt]:
    """Every price of that day with anything wrong with it, the worst first, then by the margin it leaves."""
    charged = list(charged_on(on))
    judge = _Judge(on, charged)
    found = [row for row in map(judge.look, charged) if row.warned]
    return sorted(found, key=lambda row: (row.warned[0].worry, row.margin_bp is None, row.margin_bp or 0))


def charged_on(on: date) -> Iterator[Charged]:
    """All prices in force by way: the lists' and their steps, offers by what each of theirs comes to, customers' own."""
    for price in Price.objects.in_force(on).whole():
        assert price.amount is not None
        what = "" if price.at_least == 1 else _("from %(n)d") % {"n": price.at_least}
        yield Charged(price.line, price.way, price.amount, price.on, what, _set_url(price), price.at_least)
    for offer in Offer.objects.open_on(on).whole():
        for one in offer.lines.all():
            yield Charged(one.line, offer.way, offer.amount // offer.quantity, offer.on, offer.name, offer.get_absolute_url())
    yield from _own(on)


def _set_url(price: Price) -> str:
    asked = {"line": price.line_id, "way": price.way_id, **({"at_least": price.at_least} if price.at_least > 1 else {})}
    return f"{reverse('pricing:set_price')}?{urlencode(asked)}"


def _own(on: date) -> Iterator[Charged]:
    """Customers' own prices, which a later stage keeps."""
    own: Any = Way._meta.get_field("own_prices").related_model
    rows = own._default_manager.in_force(on).filter(customer__blanked_at__isnull=True)
    for row in rows.select_related("customer", "way", "line__variety__species"):
        step = "" if row.at_least == 1 else _("from %(n)d") % {"n": row.at_least}
        what = ", ".join(one for one in (_("for %(customer)s") % {"customer": row.customer}, step) if one)
        url = row.customer.get_absolute_url()
        yield Charged(row.line, row.way, row.amount, row.on, what, url, row.at_least, row.customer_id)


class _Judge:
    """What is known of a day, asked once for all its prices."""

    def __init__(self, on: date, charged: Sequence[Charged]) -> None:
        self.on, self.rate, self.digits = on, tax_rate_on(on), minor_digits(holding().currency)
        self.terms: dict[int, WayTerms] = all_terms_on(on)
        self.sheets: dict[int, CostSheet] = cost_sheets({one.line.pk: one.line for one in charged}.values(), on)
        self.smaller, self.beneath, self.on_list = dict(out_of_step(charged)), dict(not_below(charged)), dict(dearer(charged))
        there = Line.objects.filter(pk__in=self.sheets).on_hand_on(on).filter(there__gt=0)
        self.on_hand = set(there.values_list("pk", flat=True))
        self.year_ago = on.replace(year=on.year - 1, day=min(on.day, 28)) if on.month == 2 else on.replace(year=on.year - 1)

    def look(self, one: Charged) -> PriceToLookAt:
        """A price with what is wrong with it, if anything is."""
        sheet = self.sheets[one.line.pk]
        known = sheet.known and sheet.shelf_cost > 0
        terms = self.terms.get(one.way.pk)
        margin = margin_at(one.amount, sheet.shelf_cost, one.way, terms, self.rate) if known else None
        steps = [*self._stems(one), *self._step(one)]
        warned = [*self._cost(one, sheet, margin, terms), *steps, *self._doubt(one, sheet), *self._age(one)]
        sold = one.line.pk in self.on_hand or one.way.kind == Way.Kind.MADE_UP
        return PriceToLookAt(one, sorted(warned, key=lambda warning: warning.worry), margin, sold)

    def _cost(self, one: Charged, sheet: CostSheet, margin: int | None, terms: WayTerms | None) -> Iterator[Warned]:
        """Only the worst of: below stock cost, below cost to the shelf, margin too thin."""
        if margin is None:
            return
        net = one.amount - tax_within(one.amount, self.rate) if one.way.with_tax else one.amount
        said = {"net": self._said(net), "stock": self._said(to_minor(sheet.stock_cost)),
                "shelf": self._said(to_minor(sheet.shelf_cost)), "margin": in_per_cent_of(margin)}
        if net * MILLION < sheet.stock_cost:
            yield Warned(Worry.BELOW_STOCK, _("%(net)s without tax is below its stock cost of %(stock)s.") % said, one.url)
        elif net * MILLION < sheet.shelf_cost:
            says = _("%(net)s without tax is below its cost to the shelf of %(shelf)s.") % said
            yield Warned(Worry.BELOW_SHELF, says, one.url)
        elif terms is not None and margin < terms.margin_bp:
            says = _("It leaves %(margin)s where %(wanted)s is wanted.") % {**said, "wanted": in_per_cent(terms.margin_bp)}
            yield Warned(Worry.THIN, says, one.url)

    def _step(self, one: Charged) -> Iterator[Warned]:
        if beneath := self.beneath.get(one):
            said = {"price": self._said(one.amount), "n": one.at_least}
            said |= {"other": self._said(beneath.amount), "m": beneath.at_least}
            yield Warned(Worry.OUT_OF_STEP, _("%(price)s from %(n)d is no lower than %(other)s from %(m)d.") % said, one.url)
        if listed := self.on_list.get(one):
            said = {"price": self._said(one.amount), "other": self._said(listed.amount)}
            yield Warned(Worry.OUT_OF_STEP, _("%(price)s is dearer than the list's %(other)s for as many.") % said, one.url)

    def _stems(self, one: Charged) -> Iterator[Warned]:
        smaller = self.smaller.get((one.line.pk, one.way.pk)) if one.listed else None
        if smaller is None:
            return
        said = {"more": one.line.stems, "price": self._said(one.amount), "fewer": smaller.line.stems,
                "other": self._said(smaller.amount)}
        if one.amount <= smaller.amount:
            says = _("%(more)s stems at %(price)s are no dearer than %(fewer)s of the same at %(other)s.") % said
        else:
            says = _("A stem is dearer in %(more)s at %(price)s than in %(fewer)s of the same at %(other)s.") % said
        yield Warned(Worry.OUT_OF_STEP, says, one.url)

    def _doubt(self, one: Charged, sheet: CostSheet) -> Iterator[Warned]:
        url = f"{reverse('pricing:cost_sheet', args=[one.line.pk])}?{urlencode({'on': self.on})}"
        if not sheet.layers and not sheet.batches:
            yield Warned(Worry.TOO_EARLY, _("No batch was made of it yet: nothing is known of its cost."), url)
        elif not sheet.known:
            says = _("Too early to say what it costs: a planting it comes from has no expected number of stems.")
            yield Warned(Worry.TOO_EARLY, says, url)
        elif not sheet.final:
            says = _("Its cost of %(shelf)s is provisional: the season may still change it.")
            yield Warned(Worry.PROVISIONAL, says % {"shelf": self._said(to_minor(sheet.shelf_cost))}, url)

    def _age(self, one: Charged) -> Iterator[Warned]:
        if one.since < self.year_ago:
            says = _("It has stood since %(since)s, more than a year.") % {"since": date_format(one.since)}
            yield Warned(Worry.OLD, says, one.url)

    def _said(self, amount: int) -> str:
        return format_minor(amount, self.digits)


def in_per_cent_of(bp: int) -> str:
    """Hundredths of a per cent in words, of either sign."""
    return in_per_cent(bp) if bp >= 0 else f"−{in_per_cent(-bp)}"


def out_of_step(charged: Iterable[Charged]) -> Iterator[tuple[tuple[int, int], Charged]]:
    """By (line, way) the next smaller bunch, alike but for its stems, whose price is out of step with this one's.

    Out of step: the bigger bunch is no dearer, or a stem of it is dearer. Only prices of one on a list.
    """
    alike: dict[Any, list[Charged]] = defaultdict(list)
    for one in charged:
        if one.listed and one.line.stems:
            line = one.line
            alike[one.way.pk, line.variety_id, line.name, line.colour, line.grade, line.finish].append(one)
    for several in alike.values():
        several.sort(key=lambda one: (one.line.stems or 0, one.line.pk))
        for fewer, more in pairwise(several):
            if more.amount <= fewer.amount or more.amount * (fewer.line.stems or 0) > fewer.amount * (more.line.stems or 0):
                yield (more.line.pk, more.way.pk), fewer


def _by_list(charged: Iterable[Charged]) -> dict[tuple[int, int, int | None], list[Charged]]:
    """By (line, way, whose) the price of one and its steps, the lowest step first; no offers."""
    found: dict[tuple[int, int, int | None], list[Charged]] = defaultdict(list)
    for one in sorted(charged, key=lambda one: one.at_least):
        if one.at_least:
            found[one.line.pk, one.way.pk, one.whose].append(one)
    return found


def not_below(charged: Iterable[Charged]) -> Iterator[tuple[Charged, Charged]]:
    """Each quantity step that is not below the one beneath it, on a list or of a customer's own, with the one beneath."""
    for steps in _by_list(charged).values():
        yield from ((step, beneath) for beneath, step in pairwise(steps) if step.amount >= beneath.amount)


def dearer(charged: Iterable[Charged]) -> Iterator[tuple[Charged, Charged]]:
    """Each own price of a customer that is dearer than the list for as many, with the list's."""
    lists = _by_list(charged)
    for (line, way, whose), steps in lists.items():
        for own in steps if whose is not None else ():
            listed = [one for one in lists.get((line, way, None), ()) if one.at_least <= own.at_least]
            if listed and own.amount > listed[-1].amount:
                yield own, listed[-1]
