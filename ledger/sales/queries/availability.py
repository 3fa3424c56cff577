"""What florists can have: what is free now, what is coming and not promised, and at which prices."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.db.models import Sum
from django.utils.translation import gettext as _

from ledger.drying.models import Hanging
from ledger.drying.queries import usual_days, usual_losses
from ledger.facts.pictures.colours import ink_of
from ledger.facts.queries import today
from ledger.growing.models import Lot, Variety
from ledger.pricing.models import Way
from ledger.pricing.queries import steps_on
from ledger.reckoning.loss import expected_sound
from ledger.sales.models import Customer
from ledger.stock.models import Batch, Line
from ledger.stock.queries import cautions_for, sound_loose_stems

from .agreed import Steps, own_steps

HANGING, IN_WATER, LOOSE = "hanging", "in_water", "loose"


@dataclass(frozen=True)
class Offered:
    """A line as it is offered: the price of one and its steps beyond one, in minor units as the way keeps them."""

    line: Line
    steps: Steps
    own: bool

    @property
    def price(self) -> int | None:
        """The price of one; None: only from the first step on."""
        return self.steps[0][1] if self.steps[0][0] == 1 else None

    @property
    def colour(self) -> str:
        return self.line.own_colour

    @property
    def ink(self) -> str | None:
        """The colour that stands beside its word, None where the word is not known."""
        return ink_of(self.colour)


@dataclass(frozen=True)
class Free:
    """So many bunches of a line that nobody was promised and no box holds back."""

    of: Offered
    bunches: int


@dataclass(frozen=True)
class Coming:
    """About so many bunches still to be made: stems that should be sound by a day, None where no day can be said."""

    of: Offered
    stems: int
    expected: date | None
    where: Sequence[str]

    @property
    def bunches(self) -> int:
        return self.stems // (self.of.line.stems or 1)


@dataclass(frozen=True)
class Availability:
    """A list for florists; `unpriced`: lines free or coming that have no price by this way and so are not on it.

    `on`: the day of its prices; `when`: the day of what it counts, never after today.
    """

    way: Way
    customer: Customer | None
    on: date
    when: date
    free: Sequence[Free]
    coming: Sequence[Coming]
    unpriced: Sequence[Line]
    cautions: Sequence[tuple[str, str]] = field(default_factory=tuple)

    @property
    def anything(self) -> bool:
        return bool(self.free or self.coming)


@dataclass(frozen=True)
class Stems:
    """Stems of a variety that should be fit to bunch by a day, and where they are now."""

    variety: Variety
    stems: int
    expected: date | None
    where: str


def availability(way: Way, on: date, customer: Customer | None = None) -> Availability:
    """What is free and coming as of a day (ahead: as of today), at that day's prices, a customer's own before the list's."""
    offered, when = _offered(way, on, customer), min(on, today())
    there = _free_on(when)
    free = [Free(offered[line.pk], line.free) for line in there if line.pk in offered]  # type: ignore[attr-defined]
    stems = list(stems_coming(when))
    usual = _usual_lines({one.variety.pk for one in stems}, offered, when)
    coming = _coming(stems, usual, offered)
    unpriced = [line for line in there if line.pk not in offered]
    unpriced += [line for line in usual.values() if line.pk not in offered and line not in unpriced]
    lines = [one.of.line for one in (*free, *coming)]
    return Availability(way, customer, on, when, free, coming, unpriced, tuple(cautions_for(lines)))


def _free_on(when: date) -> list[Line]:
    """Lines with bunches free that day, each with `free`; of a day gone by what the stock book says."""
    lines = Line.objects.whole()
    return list(lines.with_free().filter(free__gt=0) if when >= today() else lines.free_on(when))


def _offered(way: Way, on: date, customer: Customer | None) -> dict[int, Offered]:
    """Every line with a price, the customer's own where there is one; below its first step the list's."""
    own = {line: next(iter(steps.values())) for line, steps in own_steps(way, on, customer).items()} if customer else {}
    listed = steps_on(way, on)
    lines = Line.objects.whole().filter(pk__in={*own, *listed})
    return {line.pk: Offered(line, _merged(listed.get(line.pk, []), own.get(line.pk, [])), line.pk in own) for line in lines}


def _merged(listed: Steps, own: Steps) -> Steps:
    return [*(step for step in listed if not own or step[0] < own[0][0]), *own]


def stems_coming(on: date) -> Iterator[Stems]:
    """Stems up, in water and loose that day, less the usual loss of what has still to dry, with the day they should be down.

    Nothing is expected of a hanging marked as a disaster; what is due already is expected now.
    """
    lost = {variety.pk: usual.share_bp for variety, usual in usual_losses(on)}
    hangings = list(Hanging.objects.still_up(on).with_disaster(on).filter(is_disaster=False).whole())
    lots = list(Lot.objects.in_water(on).select_related("planting__variety__species"))
    days = usual_days((lot.planting.variety for lot in [*(up.parting.lot for up in hangings), *lots]), on)
    for up in hangings:
        variety, first = up.parting.lot.planting.variety, up.parting.on
        stems = expected_sound(up.stems_up, lost.get(variety.pk, 0))  # type: ignore[attr-defined]
        yield Stems(variety, stems, _down(first, days[variety.pk].days, on), HANGING)
    for lot in lots:
        variety = lot.planting.variety
        stems = expected_sound(lot.stems_in_water, lost.get(variety.pk, 0))  # type: ignore[attr-defined]
        yield Stems(variety, stems, _down(on, days[variety.pk].days, on), IN_WATER)
    for source in sound_loose_stems(on):
        lot = source.parting.lot if isinstance(source, Hanging) else source.lot
        yield Stems(lot.planting.variety, source.loose, on, LOOSE)  # type: ignore[union-attr]


def _down(hung: date, days: int | None, on: date) -> date | None:
    return None if days is None else max(hung + timedelta(days=days), on)


def _usual_lines(varieties: Iterable[int], offered: Iterable[int], on: date) -> dict[int, Line]:
    """What each variety is usually bunched as, by its key: that most stems went into, one with a price first."""
    made = Batch.objects.standing_on(on).filter(line__variety__in=varieties, line__unit=Line.Unit.BUNCH)
    sums = dict(made.order_by().values_list("line").annotate(n=Sum("stems")))
    priced = set(offered)
    lines = sorted(Line.objects.whole().filter(pk__in=sums), key=lambda one: (one.pk in priced, sums[one.pk], -one.pk))
    return {line.variety_id: line for line in lines if line.variety_id is not None}


def _coming(stems: Iterable[Stems], usual: dict[int, Line], offered: dict[int, Offered]) -> list[Coming]:
    """By line and day, whole bunches only, the earliest first within a line, an unknown day last."""
    found: dict[tuple[int, date | None], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for one in stems:
        line = usual.get(one.variety.pk)
        if line is not None and line.pk in offered:
            found[line.pk, one.expected][one.where] += one.stems
    order = {line: place for place, line in enumerate(offered)}
    keys = sorted(found, key=lambda key: (order[key[0]], key[1] or date.max))
    rows = [Coming(offered[key[0]], sum(found[key].values()), key[1], tuple(found[key])) for key in keys]
    return [row for row in rows if row.bunches]


def where_in_words(where: Iterable[str]) -> str:
    """Where stems are now, in words."""
    words: dict[str, Any] = {HANGING: _("hanging"), IN_WATER: _("in water"), LOOSE: _("dry, to be bunched")}
    return ", ".join(str(words[one]) for one in where)
