"""Bed earnings gathered by planting, variety, species, bed or plot; what stood in several beds shares by m2-days."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from django.utils.translation import gettext as _

from ledger.costing.queries.names import figure_url
from ledger.growing.models import Bed, Planting, Species, Variety

from .earning import Earned
from .figures import HUNDREDTHS, Figures, per, together

BY = ("planting", "variety", "species", "bed", "plot")


@dataclass(frozen=True)
class Part:
    """One planting's season, or the part of it that stood in one bed."""

    of: Earned
    figures: Figures


@dataclass(frozen=True)
class Group:
    """What several plantings' seasons came to together; `url` leads to what they are gathered by.

    `figures` are all of them, so that groups add up. A judgement rests on
    `said`: those of which enough is known. `ground`: of a bed its own area, of
    a plot that of its beds, hundredths of m2; None of all else.
    """

    key: tuple[str, int]
    name: str
    url: str
    figure_url: str
    parts: Sequence[Part]
    ground: int | None = None

    @property
    def area(self) -> int:
        """Its own ground; of all else what was planted, every season's counted. Hundredths of m2."""
        return self.figures.area if self.ground is None else self.ground

    @property
    def per_m2(self) -> int | None:
        """Earned for each m2 of that area, in millionths; None where there is none."""
        return per(self.figures.earned, self.area, HUNDREDTHS)

    @cached_property
    def figures(self) -> Figures:
        """All its figures."""
        return together(part.figures for part in self.parts)

    @cached_property
    def can_say(self) -> Sequence[Part]:
        """The parts of which no figure is missing."""
        return [part for part in self.parts if not part.of.missing]

    @cached_property
    def said(self) -> Figures:
        """The figures of those."""
        return together(part.figures for part in self.can_say)

    @property
    def missing(self) -> str:
        """Why nothing can be said of it: what its first part lacks; empty where something can."""
        return "" if self.can_say else self.parts[0].of.missing

    @property
    def judged(self) -> bool:
        """Whether any of it is far enough to say what it earned."""
        return any(part.of.judged for part in self.parts)

    @property
    def final(self) -> bool:
        """Whether no later fact will change it."""
        return all(part.of.final for part in self.parts)

    @property
    def gathers(self) -> int:
        """How many plantings it gathers, each once, whatever it stood in and for however many seasons."""
        return len({part.of.planting.pk for part in self.parts})

    @property
    def plantings(self) -> int:
        """How many plantings a judgement of it rests on."""
        return len({part.of.planting.pk for part in self.can_say})

    @property
    def seasons(self) -> int:
        """How many seasons it rests on."""
        return len({part.of.season for part in self.can_say})

    @property
    def most_stems(self) -> int:
        """The most stems it gave in any one season."""
        by_season: dict[int, int] = defaultdict(int)
        for part in self.parts:
            by_season[part.of.season] += part.figures.stems
        return max(by_season.values(), default=0)


def grouped(rows: Sequence[Earned], by: str) -> list[Group]:
    """The rows gathered, the best contribution per m2-week first; what cannot be judged last."""
    parts: dict[tuple[str, int], list[Part]] = defaultdict(list)
    beds = Bed.objects.select_related("plot").in_bulk({bed for row in rows for bed in row.beds}) if by in {"bed", "plot"} else {}
    named: dict[tuple[str, int], tuple[str, str]] = {}
    for row in rows:
        for place, part in _placed(row, by, beds):
            parts[place[:2]].append(part)
            named[place[:2]] = place[2:]
    ground = _ground(by, beds)
    groups = [Group(key, *named[key], _opens(several), several, ground.get(key[1])) for key, several in parts.items()]
    return sorted(groups, key=_rank)


def parted_again(group: Group) -> list[Group]:
    """One group's parts, each planting by itself."""
    parts: dict[int, list[Part]] = defaultdict(list)
    for part in group.parts:
        parts[part.of.planting.pk].append(part)
    found = [
        Group(("planting", pk), str(of.variety), of.get_absolute_url(), _opens(several), several)
        for pk, several in parts.items() for of in (several[0].of.planting,)
    ]
    return sorted(found, key=_rank)


def _placed(row: Earned, by: str, beds: dict[int, Bed]) -> Iterator[tuple[tuple[str, int, str, str], Part]]:
    if by in {"bed", "plot"}:
        for bed, part in _by_bed(row):
            yield _of_ground(by, None if bed is None else beds[bed]), part
        return
    variety = row.planting.variety
    things: dict[str, Planting | Variety | Species] = {"planting": row.planting, "variety": variety, "species": variety.species}
    thing = things[by]
    yield (by, thing.pk, str(variety) if by == "planting" else str(thing), thing.get_absolute_url()), Part(row, row.figures)


def _ground(by: str, beds: dict[int, Bed]) -> dict[int, int]:
    """The own area of each bed, or of all the beds of each plot, hundredths of m2."""
    if by != "plot":
        return {pk: int(bed.area_m2 * HUNDREDTHS) for pk, bed in beds.items()}
    found: dict[int, int] = defaultdict(int)
    for plot, area in Bed.objects.filter(plot__in={bed.plot_id for bed in beds.values()}).values_list("plot", "area_m2"):
        found[plot] += int(area * HUNDREDTHS)
    return found


def _of_ground(by: str, bed: Bed | None) -> tuple[str, int, str, str]:
    if bed is None:
        return by, 0, _("in no bed"), ""
    if by == "bed":
        return by, bed.pk, str(bed), bed.get_absolute_url()
    return by, bed.plot.pk, str(bed.plot), bed.plot.get_absolute_url()


def _by_bed(row: Earned) -> list[tuple[int | None, Part]]:
    """The row parted over its beds by m2-days, area and days of each its own; whole where it held none."""
    if not row.beds:
        return [(None, Part(row, row.figures))]
    shares = row.figures.parted([held.whole for held in row.beds.values()])
    return [
        (bed, Part(row, replace(share, area=held.area, area_days=held.area_days)))
        for (bed, held), share in zip(row.beds.items(), shares, strict=True)
    ]


def _opens(parts: Sequence[Part]) -> str:
    """The page that opens the figure, where it is one planting's season."""
    return figure_url(parts[0].of.source) if len(parts) == 1 and parts[0].figures == parts[0].of.figures else ""


def _rank(group: Group) -> tuple[bool, int, str, tuple[str, int]]:
    return (not group.judged, -(group.figures.contribution_per_m2_week or 0), group.name, group.key)
