"""Where a season's stems went, from cut to sold: every stem cut is in exactly one place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import QuerySet, Sum
from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Hanging, Oddments, TakingDown
from ledger.facts.queries import holding
from ledger.growing.models import Lot, Parting
from ledger.stock.models import Movement, Run

from .losses import last_season, lots_of
from .strands import ON_HAND, Strands, follow

WAYS: Sequence[tuple[str, Any, bool]] = (
    (Parting.Way.SOLD_FRESH, _("sold fresh"), False),
    (Parting.Way.MADE_UP, _("made up fresh"), False),
    (Parting.Way.DRAWN, _("drawn fresh"), False),
    (Parting.Way.THROWN_OUT, _("thrown out"), True),
)
ENDS: Sequence[tuple[str, Any, bool]] = (
    (ON_HAND, _("on hand"), False),
    (Movement.Kind.MADE_UP, _("made up"), False),
    (Movement.Kind.DRAWN, _("drawn"), False),
    (Movement.Kind.WRITTEN_OFF, _("written off"), True),
)


@dataclass(frozen=True)
class Exit:
    """Stems that leave the way at one stage; `lost`: to no use."""

    label: Any
    stems: int
    lost: bool = False


@dataclass(frozen=True)
class Stage:
    """So many stems at one stage of the way, what leaves there, and what passes it by (cut dry)."""

    label: Any
    stems: int
    exits: Sequence[Exit] = ()
    beside: Exit | None = None

    @property
    def going_on(self) -> int:
        """Stems that go on from here, those beside left out."""
        return self.stems - sum(one.stems for one in self.exits)


@dataclass(frozen=True)
class WayOfStems:
    """A season's stems as of a day, stage by stage."""

    season: int
    on: date
    stages: Sequence[Stage]

    @property
    def cut(self) -> int:
        """All stems of the season."""
        return self.stages[0].stems

    @property
    def sold(self) -> int:
        """Stems sold dried, in bunches."""
        return self.stages[-1].stems


def way_of_stems(season: int | None, on: date, variety: int | None = None) -> WayOfStems:
    """Where the stems cut in a season are at the end of a day; the last lot's season where none is named."""
    month = holding().season_first_month
    season = season or last_season(on, month)
    lots = lots_of(season, on, month, variety)
    cut = dict(lots.values_list("pk", "stems"))
    ways, strands = _ways(lots, on), follow(cut, on)
    down, sound, kept = _down(lots, on)
    dry = ways[Parting.Way.CUT_DRY]
    hung = ways[Parting.Way.HUNG]
    fit = Stage(_("fit to bunch"), sound + kept + dry, _off_the_bench(sound + kept + dry, strands))
    bunched = Stage(_("bunched"), fit.going_on, [*_exits(ENDS, strands.ended), _lost_in_rework(strands)])
    return WayOfStems(season, on, [
        Stage(_("cut"), sum(cut.values()), _leaving_the_lot(cut, ways)),
        Stage(
            _("hung"), hung,
            _some([Exit(_("still hanging"), hung - down), Exit(_("lost in drying"), down - sound - kept, lost=True)]),
            beside=Exit(_("cut dry"), dry) if dry else None,
        ),
        fit,
        Stage(bunched.label, bunched.stems, _some(bunched.exits)),
        Stage(_("sold in bunches"), bunched.going_on),
    ])


def _some(exits: Iterable[Exit]) -> list[Exit]:
    return [one for one in exits if one.stems]


def _exits(places: Sequence[tuple[str, Any, bool]], stems: Counter[str]) -> list[Exit]:
    return _some(Exit(label, stems[place], lost) for place, label, lost in places)


def _ways(lots: QuerySet[Lot], on: date) -> Counter[str]:
    rows = Parting.objects.standing_on(on).filter(lot__in=lots).order_by("way")
    return Counter(dict(rows.values_list("way").annotate(n=Sum("stems"))))


def _leaving_the_lot(cut: dict[int, int], ways: Counter[str]) -> list[Exit]:
    in_water = sum(cut.values()) - ways.total()
    return _some([*_exits(WAYS, ways), Exit(_("in water"), in_water)])


def _down(lots: QuerySet[Lot], on: date) -> tuple[int, int, int]:
    """Stems of these lots taken down, those sound, and those of the lost kept as oddments."""
    ours = Hanging.objects.standing_on(on).filter(parting__lot__in=lots)
    down = TakingDown.objects.standing_on(on).filter(hanging__in=ours).aggregate(stems=Sum("stems"), sound=Sum("sound"))
    kept = Oddments.objects.standing_on(on).filter(hanging__in=ours).aggregate(stems=Sum("stems"))
    return down["stems"] or 0, down["sound"] or 0, kept["stems"] or 0


def _off_the_bench(fit: int, strands: Strands) -> list[Exit]:
    """What of the fit stems is not in a bunch: loose, made up loose, lost in bunching."""
    made_up = sum(run.came for run in strands.runs if run.kind == Run.Kind.MAKING_UP)
    lost = sum(run.lost for run in strands.runs if run.kind == Run.Kind.BUNCHING)
    loose = fit - sum(run.loose for run in strands.runs)
    return _some([
        Exit(_("loose, not yet bunched"), loose), Exit(_("made up loose"), made_up),
        Exit(_("lost in bunching"), lost, lost=True),
    ])


def _lost_in_rework(strands: Strands) -> Exit:
    return Exit(_("lost in rework"), sum(run.lost for run in strands.runs if run.kind == Run.Kind.REWORK), lost=True)
