"""What the pieces of a job need in all, and what of it is kept, taken and still to come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import F, QuerySet, Sum

from ledger.daybook.models import Material
from ledger.growing.models import Lot, Variety
from ledger.stock.models import Line
from ledger.stock.queries.seasons import free_of_seasons
from ledger.stock.queries.sets import rows_of

from .availability import stems_coming
from .sets import rows

if TYPE_CHECKING:
    from ledger.sales.models import Job, JobHold

LINE, FRESH, MATERIAL, BOUGHT = "line", "fresh", "material", "bought"


@dataclass(frozen=True)
class Need:
    """One thing a job needs or took: bunches of a line, fresh stems of a variety, units of a material, or bought in.

    `stems`: those of a line bunched by stems, before they were rounded up to bunches. `taken` and `back`: what left for the
    job and came back. `short`: what its promise was left short of. `free`: bunches, stems in water or units there are for all,
    of the season its hold is for where that names one; `coming`: bunches that could be made of stems of the line's variety
    that hang, wait or lie loose.
    """

    kind: str
    what: Any
    needed: int
    stems: int | None = None
    kept: int = 0
    taken: int = 0
    back: int = 0
    free: int = 0
    coming: int = 0
    job_hold: JobHold | None = None
    short: int = 0

    @property
    def promised(self) -> int:
        """Kept, or owed as left short: what can be given back."""
        return self.kept + self.short

    @property
    def out(self) -> int:
        """Taken and not brought back."""
        return self.taken - self.back

    @property
    def to_take(self) -> int:
        """Needed and not taken yet."""
        return max(self.needed - self.out, 0)

    @property
    def lacking(self) -> int:
        """Needed and neither taken nor kept."""
        return max(self.to_take - self.kept, 0)


def parts_of(job: Job) -> QuerySet:
    """The parts of a job's standing pieces."""
    return rows("PiecePart").filter(piece__job=job, piece__undone_at__isnull=True)


def _in_all(parts: QuerySet, what: str) -> dict[Any, int]:
    """What all pieces need of each thing of a kind."""
    sums = parts.exclude(**{what: "" if what == "bought" else None}).order_by(what).values_list(what)
    return dict(sums.annotate(n=Sum(F("quantity") * F("piece__quantity"))))


def _by_line(changes: QuerySet, line: str, of: str = "quantity") -> dict[int, int]:
    return dict(changes.exclude(**{line: None}).order_by(line).values_list(line).annotate(n=Sum(of)))


def bunches_of(line: Line, needed: int) -> int:
    """Whole bunches for so many stems of a line bunched by stems; of any other line so many units."""
    return -(-needed // (line.stems or 1))


def _bunches_kept(job: Job) -> dict[int, int]:
    """Bunches its holds keep now, by the line's key."""
    return _by_line(rows_of("HoldChange").standing().filter(hold__job_hold__job=job), "hold__line", "bunches")


def _bunches_short(job: Job) -> dict[int, int]:
    """Bunches its holds were left short of, by the line's key, those of nil left out."""
    holds = rows_of("Hold").standing().filter(job_hold__job=job).with_short().filter(short__gt=0)
    return dict(holds.values_list("line", "short"))


def _free_of_season(holds: Mapping[int, JobHold], on: date) -> dict[int, int]:
    """What is free of the one season a hold is for, by the line's key; lines kept of any season left out."""
    seasons = {line: one.hold.season for line, one in holds.items() if one.hold.season is not None}
    free = free_of_seasons(seasons, on) if seasons else {}
    return {line: free.get((line, season), 0) for line, season in seasons.items()}


def _brought_back(job: Job) -> QuerySet:
    return rows("CameBack").standing().filter(taken__job=job, taken__undone_at__isnull=True)


def bunches_to_keep(job: Job) -> dict[Line, int]:
    """What the pieces need of each line and is neither kept nor taken yet, those of nil left out; in order of line."""
    return {one.what: one.lacking for one in _lines_needed(job) if one.lacking}


def needed_for(job: Job, on: date) -> list[Need]:
    """All a job needs, keeps or took as of a day: lines, then fresh stems, materials and what is bought in."""
    parts = parts_of(job)
    return [*_lines_needed(job, on), *_fresh(job, parts, on), *_materials(job, parts, on), *_bought(parts)]


def _lines_needed(job: Job, on: date | None = None) -> list[Need]:
    """The lines of a job; what is free and coming only with a day."""
    needed, kept = _in_all(parts_of(job), "line"), _bunches_kept(job)
    taken, back = _by_line(job.taken.standing(), "line"), _by_line(_brought_back(job), "taken__line")
    holds = {one.line_id: one for one in job.holds.select_related("hold")}
    short = _bunches_short(job)
    keys = {*needed, *(line for line, n in kept.items() if n), *taken, *short}
    lines = Line.objects.filter(pk__in=keys).select_related("variety__species").with_free().order_by("pk")
    coming = _coming([line.variety_id for line in lines if line.variety_id], on) if on else {}
    of_season = _free_of_season(holds, on) if on else {}
    return [
        Need(
            LINE, line, bunches_of(line, needed.get(line.pk, 0)), needed.get(line.pk, 0) if line.stems else None,
            kept.get(line.pk, 0), taken.get(line.pk, 0), back.get(line.pk, 0), min(line.free, of_season.get(line.pk, line.free)),
            coming.get(line.variety_id or 0, 0) // (line.stems or 1) if line.unit == Line.Unit.BUNCH else 0,
            holds.get(line.pk), short.get(line.pk, 0),
        )
        for line in lines
    ]


def _coming(varieties: Collection[int], on: date) -> dict[int, int]:
    """Stems of varieties that hang, are in water or lie loose, by the variety's key, less the usual loss."""
    found: dict[int, int] = defaultdict(int)
    for one in stems_coming(on) if varieties else ():
        found[one.variety.pk] += one.stems
    return found


def _fresh(job: Job, parts: QuerySet, on: date) -> list[Need]:
    needed = _in_all(parts, "variety")
    taken = _by_line(job.taken.standing(), "parting__lot__planting__variety")
    there: dict[int, int] = defaultdict(int)
    for variety, stems in Lot.objects.in_water(on).values_list("planting__variety", "stems_in_water"):
        there[variety] += stems
    found = Variety.objects.filter(pk__in={*needed, *taken}).select_related("species").order_by("species__name", "name", "pk")
    return [
        Need(FRESH, one, needed.get(one.pk, 0), taken=taken.get(one.pk, 0), free=there[one.pk]) for one in found
    ]


def _materials(job: Job, parts: QuerySet, on: date) -> list[Need]:
    """Materials; what was noted as used on the job is taken."""
    needed = _in_all(parts, "material")
    used = _by_line(job.cost_object.material_uses.filter(undone_at__isnull=True), "material")
    found: Iterable[Any] = Material.objects.filter(pk__in={*needed, *used}).with_on_hand(on).order_by("name", "pk")
    return [
        Need(MATERIAL, one, needed.get(one.pk, 0), taken=used.get(one.pk, 0), free=max(one.on_hand, 0)) for one in found
    ]


def _bought(parts: QuerySet) -> Sequence[Need]:
    return [Need(BOUGHT, words, n) for words, n in _in_all(parts, "bought").items()]
