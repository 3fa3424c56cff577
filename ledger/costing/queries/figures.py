"""A figure opened: what a record carries, entry by entry, where it came from and where it went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils.translation import gettext_lazy as _

from ledger.reckoning.book import Amounts, Node, total
from ledger.reckoning.sharing import printed, to_minor
from ledger.reckoning.taking import proportion
from ledger.stock.models import Batch

from .bases import Bases
from .book import book
from .names import PLACES, Names, entry_url, entry_words, figure_url, record_url
from .stages import STAGE_NAMES

UNITS = {
    "stems": _("%(part)d of %(whole)d stems"),
    "m2-days": _("%(part)s of %(whole)s m2-days"),
    "room-days": _("%(part)d of %(whole)d days of room"),
    "seasons": _("%(part)d of %(whole)d productive seasons still to come"),
    "plants": _("%(part)d of %(whole)d parts of the plants"),
    "bunches": _("%(part)d of %(whole)d bunches"),
    "units": _("%(part)d units"),
    "worth": _("%(part)s of %(whole)s by value"),
}
LARGEST_KEY = 2**63 - 1


@dataclass(frozen=True)
class Row:
    """One row of an opened figure: in words, the part it is, whole minor units, and its page."""

    what: str
    part: str
    amount: int
    url: str
    on: date | None = None


@dataclass(frozen=True)
class Opened:
    """A record's cost opened; every list adds up to `carried` in whole minor units.

    `least` and `most`: what it may still come to, in whole minor units, None where
    nobody asked. `known_at`: the moment the facts were known by, None for now.
    `shared`: what of it `quantity` stems or bunches bear, `each` one's part of that.
    """

    title: str
    record_url: str
    on: date
    known_at: datetime | None
    final: bool
    known: bool
    quantity: int
    carried: int
    shared: int
    each: int | None
    least: int | None
    most: int | None
    stock_cost: int
    direct: Sequence[Row]
    came_in: Sequence[Row]
    layers: Sequence[Row]
    went: Sequence[Row]


def opened(kind: str, number: int, on: date, known: datetime | None = None, *, how_far: bool = False) -> Opened | None:
    """The figure of one record as of a day, as known at a moment; None where the ledger knows no such record.

    With `how_far` it says how far a provisional figure may move, for which the book is made twice more.
    """
    if number > LARGEST_KEY:
        return None
    key = (kind, number)
    made = book(on, known)
    node = made.node(key)
    names = Names([key, *(flow.source for flow in node.inflows), *(flow.target for flow in node.outflows)])
    if not names.has(key):
        return None
    bases, carried, shared_by, shared = Bases(on, known), node.carried, _shared_by(node), _shared(node)
    sources = _source_rows(node, names)
    least, most = (to_minor(end) for end in made.range_of(key)) if how_far else (None, None)
    return Opened(
        title=names.of(key), record_url=record_url(key), on=on, known_at=known, final=node.final, known=node.known,
        quantity=shared_by, carried=to_minor(total(carried)), shared=to_minor(shared),
        each=to_minor(proportion(shared, 1, shared_by)) if shared_by else None,
        least=least, most=most, stock_cost=to_minor(bases.stock_cost(carried)),
        direct=sources[: len(node.direct)], came_in=sources[len(node.direct) :],
        layers=_layers(carried, bases), went=_went(node, names),
    )


def _shared_by(node: Node) -> int:
    """How many stems or bunches share what a node carries: a batch's, all that were made."""
    if node.key[0] != "batch":
        return node.quantity
    return Batch.objects.filter(pk=node.key[1]).values_list("made", flat=True).first() or 0


def _shared(node: Node) -> int:
    """What they share, in millionths: of a hanging only what its sound stems bear, whether used or loose."""
    if node.key[0] != "hanging":
        return total(node.carried)
    used = sum(total(flow.amounts) for flow in node.outflows if flow.target[0] == "run")
    return used + sum(total(at.amounts) for at in node.standings if at.place == "loose")


def _source_rows(node: Node, names: Names) -> list[Row]:
    amounts = printed([total(entry.amounts) for entry in node.direct] + [total(flow.amounts) for flow in node.inflows])
    words = entry_words([entry.source for entry in node.direct])
    direct = [
        Row(words.get(entry.source, names.of(entry.source)), "", amount, entry_url(entry.source), entry.on)
        for entry, amount in zip(node.direct, amounts, strict=False)
    ]
    came = [
        Row(names.of(flow.source), _share(flow.unit, flow.part, flow.whole), amount, figure_url(flow.source))
        for flow, amount in zip(node.inflows, amounts[len(direct) :], strict=True)
    ]
    return direct + came


def _share(unit: str, part: int, whole: int) -> str:
    if unit in {"m2-days", "worth"}:
        return str(UNITS[unit]) % {"part": in_hundredths(part), "whole": in_hundredths(whole)}
    return str(UNITS.get(unit, "%(part)d / %(whole)d")) % {"part": part, "whole": whole}


def in_hundredths(hundredths: int) -> str:
    """Hundredths as a decimal number, without idle noughts."""
    return f"{Decimal(hundredths) / 100:f}".rstrip("0").rstrip(".") if hundredths % 100 else str(hundredths // 100)


def _layers(carried: Amounts, bases: Bases) -> list[Row]:
    stages = list(STAGE_NAMES)
    elements = sorted(carried, key=lambda one: (stages.index(one[0]), one[1]))
    amounts = printed([carried[element] for element in elements])
    return [Row(bases.name(element), "", amount, "") for element, amount in zip(elements, amounts, strict=True)]


def _went(node: Node, names: Names) -> list[Row]:
    flows, standings = node.outflows, node.standings
    amounts = printed([total(flow.amounts) for flow in flows] + [total(at.amounts) for at in standings])
    on = [
        Row(names.of(flow.target), _share(flow.unit, flow.part, flow.whole), amount, figure_url(flow.target))
        for flow, amount in zip(flows, amounts, strict=False)
    ]
    rest = [
        Row(str(PLACES.get(at.place, at.place)), str(at.quantity or ""), amount, "", at.on)
        for at, amount in zip(standings, amounts[len(flows) :], strict=True)
    ]
    return on + rest
