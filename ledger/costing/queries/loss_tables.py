"""Losses grouped by one thing after another, their money printed so that every column adds up."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Loss, Place
from ledger.growing.models import Lot, Variety
from ledger.reckoning.book import Key
from ledger.reckoning.sharing import printed
from ledger.reckoning.taking import proportion
from ledger.stock.models import Line

from .hung import WHOLE_BP
from .names import Names
from .spoilt import BUNCHING, REWORK, THROWN_OUT, Cost, Went

REASONS: Mapping[str, Any] = {
    **dict(Loss.Reason.choices),
    THROWN_OUT: _("thrown out at the cut"), BUNCHING: _("lost in bunching"), REWORK: _("lost in rework"),
}
PARTS = ("borne", "written_off", "kept")
HUMID_STEPS, WARM_STEPS = (50, 60, 70), (150, 200, 250, 300)


@dataclass(frozen=True)
class LossRow:
    """One row: of so many stems so many went; whole minor units that add up down the table.

    `said` is False where a part of the cost is not known yet and left out;
    `part_bp` is its part of all the table's losses, in hundredths of a per cent;
    `key` the one hanging, lot or run it is of, where it is one.
    """

    label: Any
    hangings: int
    of: int
    stems: int
    borne: int
    written_off: int
    kept: int
    said: bool
    part_bp: int = 0
    key: Key | None = None

    @property
    def cost(self) -> int:
        """What the lost stems' share would have been."""
        return self.borne + self.written_off + self.kept

    @property
    def share_bp(self) -> int:
        """The share lost, in hundredths of a per cent."""
        return proportion(self.stems, WHOLE_BP, self.of) if self.of else 0


@dataclass(frozen=True)
class LossTable:
    """The same losses by one thing, adding up to `total`; `counted`: whether its rows are hangings of stems that came down."""

    name: str
    title: Any
    heads: Any
    rows: Sequence[LossRow]
    total: LossRow
    counted: bool = True


def by_reason(went: Sequence[Went]) -> LossTable:
    """All that went, by why."""
    order = list(REASONS)
    return _table("reason", _("By reason"), _("Reason"), went, lambda one: one.reason, order.index, REASONS.__getitem__, False)


def in_drying(went: Sequence[Went]) -> list[LossTable]:
    """What came down, by place, variety, stage when cut, week of hanging and weather."""
    places = dict(Place.objects.values_list("pk", "name"))
    varieties = {one.pk: str(one) for one in Variety.objects.select_related("species")}
    stages = dict(Lot.Stage.choices)
    return [
        _table("place", _("By drying place"), _("Place"), went, _hung("place"), places.__getitem__, places.__getitem__),
        _table("variety", _("By variety"), _("Variety"), went, _hung("variety"), varieties.__getitem__, varieties.__getitem__),
        _table("stage", _("By stage when cut"), _("Stage"), went, _hung("stage"), list(stages).index, stages.__getitem__),
        _table("week", _("By week of hanging"), _("Week"), went, _hung("week"), str, str),
        *_by_weather(went),
    ]


def _by_weather(went: Sequence[Went]) -> list[LossTable]:
    """By what was read in the places while stems hung; nothing where nobody read anything."""
    damp = _table(
        "damp", _("By how damp the place was while it hung"), _("Mean humidity"), went,
        lambda one: one.hung and step_of(one.hung.humidity, HUMID_STEPS), _none_last, said_humidity,
    )
    warm = _table(
        "warmth", _("By how warm the place was while it hung"), _("Mean temperature"), went,
        lambda one: one.hung and step_of(one.hung.warmth, WARM_STEPS), _none_last, said_warmth,
    )
    read = (any(one.hung and getattr(one.hung, what) is not None for one in went) for what in ("humidity", "warmth"))
    return [table for table, told in zip((damp, warm), read, strict=True) if told]


def _hung(name: str) -> Callable[[Went], Any]:
    return lambda went: getattr(went.hung, name)


def step_of(number: int | None, steps: Sequence[int]) -> int | None:
    """How many of the steps a number reaches, None where nothing was read."""
    return None if number is None else sum(1 for step in steps if number >= step)


def _none_last(step: int | None) -> int:
    return len(WARM_STEPS) + 1 if step is None else step


def said_humidity(step: int | None) -> Any:
    """A stretch of humidity in words."""
    return _said(step, HUMID_STEPS, "%")


def said_warmth(step: int | None) -> Any:
    """A stretch of temperature in words."""
    return _said(step, [one // 10 for one in WARM_STEPS], "°C")


def _said(step: int | None, steps: Sequence[int], unit: str) -> Any:
    if step is None:
        return _("nothing read")
    if step == 0:
        return _("under %(high)d %(unit)s") % {"high": steps[0], "unit": unit}
    if step == len(steps):
        return _("%(low)d %(unit)s and more") % {"low": steps[-1], "unit": unit}
    return _("%(low)d to under %(high)d %(unit)s") % {"low": steps[step - 1], "high": steps[step], "unit": unit}


def by_source(went: Sequence[Went]) -> LossTable:
    """Each hanging, lot and run that lost anything, the most stems first."""
    names, stems = Names([one.key for one in went]), dict.fromkeys((one.key for one in went), 0)
    for one in went:
        stems[one.key] += one.stems
    return _table(
        "source", _("Each hanging, lot and run"), _("Of what"), went, lambda one: one.key,
        lambda key: (-stems[key], key), names.of, False,
    )


def by_finish(went: Sequence[Went]) -> LossTable:
    """What was lost in bunching and rework, by the finish of the line made."""
    finishes = dict(Line.Finish.choices)
    return _table(
        "finish", _("In bunching and rework, by finish"), _("Finish of the line made"), went, lambda one: one.made,
        list(finishes).index, finishes.__getitem__, False,
    )


def trials(went: Sequence[Went]) -> LossTable:
    """Trials of unusual material, one by one."""
    places = dict(Place.objects.values_list("pk", "name"))
    varieties = {one.pk: str(one) for one in Variety.objects.select_related("species")}

    def named(key: tuple[str, int, int]) -> Any:
        week, variety, place = key
        return _("%(variety)s in %(place)s, %(week)s") % {"variety": varieties[variety], "place": places[place], "week": week}

    def key(one: Went) -> Any:
        return one.hung and (one.hung.week, one.hung.variety, one.hung.place)

    return _table("trials", _("Trials, judged apart"), _("Trial"), went, key, lambda one: one, named)


def _table(
    name: str, title: Any, heads: Any, went: Sequence[Went], by: Callable[[Went], Hashable],
    order: Callable[[Any], Any], label: Callable[[Any], Any], counted: bool = True,
) -> LossTable:
    """Group what went; the printed money of every column adds up to the printed total."""
    groups: dict[Any, list[Went]] = {}
    for one in went:
        groups.setdefault(by(one), []).append(one)
    keys = sorted(groups, key=order)
    columns = [printed([sum(_money(one, part) for one in groups[key]) for key in keys]) for part in PARTS]
    whole = sum(one.stems for one in went)
    rows = [_row(label(key), groups[key], whole, *money) for key, *money in zip(keys, *columns, strict=True)]
    return LossTable(name, title, heads, rows, _row("", went, whole, *(sum(column) for column in columns)), counted)


def _row(label: Any, went: Sequence[Went], whole: int, borne: int, written_off: int, kept: int) -> LossRow:
    stems = sum(one.stems for one in went)
    return LossRow(
        label=label, hangings=len({one.hung.first for one in went if one.hung}), of=sum(one.of for one in went), stems=stems,
        borne=borne, written_off=written_off, kept=kept, said=all(one.known for one in went if one.stems),
        part_bp=proportion(stems, WHOLE_BP, whole) if whole else 0,
        key=went[0].key if len({one.key for one in went}) == 1 else None,
    )


def _money(one: Went, name: str) -> int:
    """One part of a cost; what is not known counts for nothing and is said to be missing."""
    cost = one.cost if one.known else Cost()
    amount: int = getattr(cost, name)
    return amount
