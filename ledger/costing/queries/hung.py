"""Every hanging as it stood on a day: where, when and how damp it dried, and what came of it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.db.models import Sum

from ledger.drying.models import Disaster, Hanging, Loss, Reading, TakingDown
from ledger.facts.models import Fact
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import iso_week, season_of

WHOLE_BP = 10_000
Stretch = tuple[int, date, date]


@dataclass(frozen=True)
class Hung:
    """One hanging: `first` the one its stems were hung as before any moving, `hung` that one's day.

    `last` is the day the last stem came down or went on, None while any is up.
    Humidity in whole per cent and warmth in tenths of a degree C are means of
    what was read where it hung, None where nothing was.
    """

    key: int
    first: int
    variety: int
    place: int
    stage: str
    season: int
    hung: date
    stems: int
    down: int
    sound: int
    last: date | None
    disaster: bool
    trial: bool
    losses: Sequence[tuple[str, int]] = field(default_factory=tuple)
    humidity: int | None = None
    warmth: int | None = None

    @property
    def lost(self) -> int:
        """Stems that came down and were not sound."""
        return self.down - self.sound

    @property
    def finished(self) -> bool:
        """Whether all has come down, and anything did here."""
        return self.last is not None and self.down > 0

    @property
    def week(self) -> str:
        """The ISO week in which it was first hung."""
        return iso_week(self.hung)

    @property
    def days(self) -> int:
        """Days from first hung until the last came down; only of a finished one."""
        assert self.last is not None
        return (self.last - self.hung) // timedelta(days=1)

    @property
    def lost_bp(self) -> int:
        """The share lost of what came down, in hundredths of a per cent, halves up."""
        return proportion(self.lost, WHOLE_BP, self.down)


def hung_by(on: date, *, first_month: int, variety: int | None = None) -> list[Hung]:
    """Every hanging standing on a day, of one variety where named, the longest hung first."""
    rows = _rows(on, variety)
    by_key = {row["pk"]: row for row in rows}
    left, readings = _leavings(on, rows), _Readings(on)
    losses = _losses(on)
    marked = set(Disaster.objects.standing_on(on).values_list("hanging_id", flat=True))
    return [
        _hung(row, _chain(row, by_key), left, losses, readings, marked=row["pk"] in marked, first_month=first_month, on=on)
        for row in rows
    ]


def _rows(on: date, variety: int | None) -> list[dict[str, Any]]:
    rows = Hanging.objects.standing_on(on).order_by("on", "pk")
    if variety is not None:
        rows = rows.filter(parting__lot__planting__variety=variety)
    fields = (
        "pk", "on", "stems", "place_id", "moved_from_id", "trial", "parting__lot__on", "parting__lot__stage",
        "parting__lot__planting__variety_id",
    )
    return [dict(row) for row in rows.values(*fields)]


@dataclass
class _Left:
    """What left one hanging: stems down, sound and moved on, and the last day of it."""

    down: int = 0
    sound: int = 0
    moved: int = 0
    last: date = date.min

    def on_day(self, day: date) -> None:
        self.last = max(self.last, day)


def _leavings(on: date, rows: Iterable[dict[str, Any]]) -> Mapping[int, _Left]:
    left: dict[int, _Left] = defaultdict(_Left)
    for hanging, day, stems, sound in _facts(TakingDown, on, "hanging_id", "on", "stems", "sound"):
        left[hanging].down += stems
        left[hanging].sound += sound
        left[hanging].on_day(day)
    for row in rows:
        if row["moved_from_id"] is not None:
            left[row["moved_from_id"]].moved += row["stems"]
            left[row["moved_from_id"]].on_day(row["on"])
    return left


def _facts(model: type[Fact], on: date, *fields: str) -> Iterable[tuple[Any, ...]]:
    return model.objects.standing_on(on).order_by("on", "pk").values_list(*fields)


def _losses(on: date) -> Mapping[int, Sequence[tuple[str, int]]]:
    """Stems lost of each hanging by reason."""
    rows = Loss.objects.filter(taking__in=TakingDown.objects.standing_on(on)).order_by("taking__hanging_id", "reason")
    found: dict[int, list[tuple[str, int]]] = defaultdict(list)
    for hanging, reason, stems in rows.values_list("taking__hanging_id", "reason").annotate(n=Sum("stems")):
        found[hanging].append((reason, stems))
    return found


def _chain(row: dict[str, Any], by_key: Mapping[int, dict[str, Any]]) -> list[dict[str, Any]]:
    """A hanging and those its stems were moved from, the latest first."""
    chain = [row]
    while chain[-1]["moved_from_id"] in by_key:
        chain.append(by_key[chain[-1]["moved_from_id"]])
    return chain


def _hung(
    row: dict[str, Any], chain: Sequence[dict[str, Any]], left: Mapping[int, _Left],
    losses: Mapping[int, Sequence[tuple[str, int]]], readings: _Readings, *, marked: bool, first_month: int, on: date,
) -> Hung:
    gone, first = left.get(row["pk"], _Left()), chain[-1]
    last = gone.last if gone.down + gone.moved == row["stems"] else None
    stretches = _stretches(chain, last or on)
    return Hung(
        key=row["pk"], first=first["pk"], variety=row["parting__lot__planting__variety_id"], place=row["place_id"],
        stage=row["parting__lot__stage"], season=season_of(row["parting__lot__on"], first_month=first_month),
        hung=first["on"], stems=row["stems"], down=gone.down, sound=gone.sound, last=last, disaster=marked,
        trial=any(one["trial"] for one in chain), losses=losses.get(row["pk"], ()),
        humidity=readings.mean("humidity", stretches), warmth=readings.mean("warmth", stretches),
    )


def _stretches(chain: Sequence[dict[str, Any]], last: date) -> list[Stretch]:
    """Where stems hung from which day to which, both within."""
    ends = [last, *(row["on"] for row in chain[:-1])]
    return [(row["place_id"], row["on"], end) for row, end in zip(chain, ends, strict=True)]


class _Readings:
    """What was read in each place, and its mean over stretches of days."""

    def __init__(self, on: date) -> None:
        rows = Reading.objects.standing_on(on).order_by("on", "pk")
        self._days: dict[tuple[str, int], list[date]] = defaultdict(list)
        self._said: dict[tuple[str, int], list[int]] = defaultdict(list)
        for place, day, humidity, warmth in rows.values_list("place_id", "on", "humidity_percent", "temperature_tenths_c"):
            for what, number in (("humidity", humidity), ("warmth", warmth)):
                if number is not None:
                    self._days[what, place].append(day)
                    self._said[what, place].append(number)

    def mean(self, what: str, stretches: Iterable[Stretch]) -> int | None:
        """The mean of all readings of the stretches, halves up; None where there are none."""
        found = [number for place, first, last in stretches for number in self._between(what, place, first, last)]
        return proportion(sum(found), 1, len(found)) if found else None

    def _between(self, what: str, place: int, first: date, last: date) -> list[int]:
        days = self._days[what, place]
        return self._said[what, place][bisect_left(days, first) : bisect_right(days, last)]
