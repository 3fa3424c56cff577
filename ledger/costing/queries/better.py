"""Where and when the same stem dries better, and how sure that is on so few hangings.

Only hangings that are all down count, no trial and no marked disaster. Stems of
one hanging go together, so each hanging counts once, however many it held;
parts of it moved to one place and dried there count together.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from math import comb
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Place
from ledger.facts.queries import holding
from ledger.growing.models import Lot, Variety
from ledger.reckoning.surely import FEWEST_EACH, Apart, apart, middle, range_of_middle
from ledger.reckoning.taking import proportion

from .hung import WHOLE_BP, Hung, hung_by
from .loss_tables import HUMID_STEPS, WARM_STEPS, said_humidity, said_warmth, step_of

WEEKS = 53


@dataclass(frozen=True)
class Usual:
    """The middle of some hangings, and between what the true middle lies, None where too few to tell."""

    each: Sequence[int]

    @cached_property
    def middle(self) -> int:
        return middle(self.each)

    @cached_property
    def between(self) -> tuple[int, int] | None:
        return range_of_middle(self.each)


@dataclass(frozen=True)
class Kind:
    """Hangings alike in one thing: how many days they took and what share they lost (hundredths of a per cent)."""

    label: Any
    stems: int
    days: Usual
    lost: Usual

    @property
    def hangings(self) -> int:
        return len(self.days.each)


@dataclass(frozen=True)
class Told:
    """Two kinds compared: by how much the worse exceeds the better, None where too few to tell."""

    better: Kind
    worse: Kind
    by: Apart | None


@dataclass(frozen=True)
class Judged:
    """One variety's hangings by one thing; `compared` are the kinds with enough hangings, two by two with the best."""

    title: Any
    heads: Any
    kinds: Sequence[Kind]
    compared: Sequence[Kind]

    @property
    def enough(self) -> bool:
        """Whether two kinds have as many hangings as the least comparison wants."""
        return len(self.compared) > 1

    @property
    def by_loss(self) -> list[Told]:
        """The kind that lost least beside each other."""
        return self._told(lambda kind: kind.lost)

    @property
    def by_days(self) -> list[Told]:
        """The kind that dried fastest beside each other."""
        return self._told(lambda kind: kind.days)

    def _told(self, what: Callable[[Kind], Usual]) -> list[Told]:
        best, *others = sorted(self.compared, key=lambda kind: what(kind).middle)
        pairs = comb(len(self.compared), 2)
        return [Told(best, other, apart(what(other).each, what(best).each, pairs=pairs)) for other in others]


@dataclass(frozen=True)
class Dried:
    """How one variety dried up to a day: as a whole, by each thing, and what was left out."""

    variety: Variety
    whole: Kind | None
    judged: Sequence[Judged]
    trials: Sequence[Kind]
    disasters: int
    still_up: int


def how_dried(variety: Variety, on: date) -> Dried:
    """How a variety dried in all hangings that were down by a day, of every season."""
    month = holding().season_first_month
    hangings = hung_by(on, first_month=month, variety=variety.pk)
    places = dict(Place.objects.values_list("pk", "name"))
    plain = [one for one in hangings if one.finished and not (one.trial or one.disaster)]
    return Dried(
        variety=variety, whole=_whole(plain), judged=_judged(plain, places, month) if plain else [],
        trials=_kinds(_trials(hangings), lambda one: one.place, places.__getitem__),
        disasters=len({one.first for one in hangings if one.disaster}),
        still_up=sum(1 for one in hangings if one.last is None),
    )


def every_variety(on: date) -> list[Dried]:
    """How each variety that was ever hung dried, by name, without telling its hangings apart."""
    found: dict[int, list[Hung]] = {}
    for one in hung_by(on, first_month=1):
        found.setdefault(one.variety, []).append(one)
    return [
        Dried(
            variety=variety, whole=_whole([one for one in found[variety.pk] if one.finished and not (one.trial or one.disaster)]),
            judged=[], trials=_kinds(_trials(found[variety.pk]), lambda one: one.variety, str),
            disasters=len({one.first for one in found[variety.pk] if one.disaster}),
            still_up=sum(1 for one in found[variety.pk] if one.last is None),
        )
        for variety in Variety.objects.filter(pk__in=found).select_related("species")
    ]


def _trials(hangings: Iterable[Hung]) -> list[Hung]:
    return [one for one in hangings if one.finished and one.trial]


def _whole(hangings: Sequence[Hung]) -> Kind | None:
    return _kind("", hangings) if hangings else None


def _judged(hangings: Sequence[Hung], places: Mapping[int, str], month: int) -> list[Judged]:
    names, words = zip(*Lot.Stage.choices, strict=True)
    stages = _kinds(hangings, lambda one: names.index(one.stage), words.__getitem__)
    damp = _by(_("By how damp the place was while it hung"), _("Mean humidity"), *_by_step(hangings, _humid, said_humidity))
    warm = _by(_("By how warm the place was while it hung"), _("Mean temperature"), *_by_step(hangings, _warm, said_warmth))
    return [
        _by(_("Where: by drying place"), _("Place"), _kinds(hangings, lambda one: one.place, places.__getitem__)),
        _by_week(hangings, month),
        _by(_("By stage when cut"), _("Stage"), stages),
        *([damp] if any(_humid(one) is not None for one in hangings) else []),
        *([warm] if any(_warm(one) is not None for one in hangings) else []),
    ]


def _humid(one: Hung) -> int | None:
    return step_of(one.humidity, HUMID_STEPS)


def _warm(one: Hung) -> int | None:
    return step_of(one.warmth, WARM_STEPS)


def _by_step(
    hangings: Sequence[Hung], step: Callable[[Hung], int | None], said: Callable[[int | None], Any]
) -> tuple[list[Kind], list[Kind]]:
    """By a reading: all kinds, what nobody read last, and those that may be compared."""
    read = _kinds([one for one in hangings if step(one) is not None], step, said)
    return [*read, *_kinds([one for one in hangings if step(one) is None], step, said)], read


def _by(title: Any, heads: Any, kinds: Sequence[Kind], may: Sequence[Kind] | None = None) -> Judged:
    asked = kinds if may is None else may
    return Judged(title, heads, kinds, [kind for kind in asked if kind.hangings >= FEWEST_EACH])


def _by_week(hangings: Sequence[Hung], month: int) -> Judged:
    """By week of the year, seasons together; too few fall in one week, so the earlier half is set beside the later."""
    start = date(2024, month, 1).isocalendar().week

    def week(one: Hung) -> int:
        return (one.hung.isocalendar().week - start) % WEEKS

    def said(words: Any, number: int) -> Any:
        return words % {"week": (number + start - 1) % WEEKS + 1}

    half = sorted(week(one) for one in hangings)[(len(hangings) - 1) // 2]
    names = [said(_("weeks up to %(week)d"), half), said(_("weeks after %(week)d"), half)]
    kinds = _kinds(hangings, week, lambda number: said(_("week %(week)d"), number))
    halves = _kinds(hangings, lambda one: int(week(one) > half), names.__getitem__)
    return _by(_("When: by week of hanging, seasons together"), _("Week"), kinds, halves)


def _kinds(hangings: Iterable[Hung], by: Callable[[Hung], Any], label: Callable[[Any], Any]) -> list[Kind]:
    groups: dict[Any, list[Hung]] = {}
    for one in hangings:
        groups.setdefault(by(one), []).append(one)
    return [_kind(label(key), groups[key]) for key in sorted(groups, key=lambda key: (key is None, key))]


def _kind(label: Any, hangings: Iterable[Hung]) -> Kind:
    """Alike in one thing; what was first hung together counts as one."""
    together: dict[Hashable, list[Hung]] = {}
    for one in hangings:
        together.setdefault(one.first, []).append(one)
    parts = list(together.values())
    return Kind(
        label=label, stems=sum(one.down for part in parts for one in part),
        days=Usual([max(one.days for one in part) for part in parts]),
        lost=Usual([proportion(sum(one.lost for one in part), WHOLE_BP, sum(one.down for one in part)) for part in parts]),
    )
