"""Loose stems: sound, cut dry, or kept as oddments, and not yet used by a run."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Any, TypeAlias

from django.apps import apps
from django.db.models import F
from django.db.models.functions import Coalesce

from ledger.drying.queries import HangingQuerySet, total
from ledger.facts.models import FactQuerySet

from .running import lowest_from
from .sets import DayChange, rows_of

if TYPE_CHECKING:
    from ledger.drying.models import Hanging, Oddments
    from ledger.growing.models import Parting


Loose: TypeAlias = "Hanging | Parting | Oddments"


def with_loose(hangings: HangingQuerySet, on: date) -> HangingQuerySet:
    """Add `sound`, `bunched` and `loose`: sound stems not yet bunched at the end of that day."""
    return hangings.with_sound(on).annotate(bunched=_used(on, "hanging"), loose=F("sound") - F("bunched"))


def with_left(rows: FactQuerySet, on: date, kind: str) -> FactQuerySet:
    """Add `loose` to stems cut dry (`kind` parting) or kept (oddments): those no run has used by the end of that day."""
    return rows.standing_on(on).annotate(loose=F("stems") - _used(on, kind))


def loose_stems(on: date) -> list[Loose]:
    """All that has loose stems on that day, each with so many as `loose`: hangings, then stems cut dry, then oddments."""
    kept = with_left(_all("drying", "Oddments").whole(), on, "oddments")
    return [*sound_loose_stems(on), *kept.filter(loose__gt=0).order_by("on", "pk")]


def sound_loose_stems(on: date) -> list[Hanging | Parting]:
    """The same without oddments: what bunches are usually made of."""
    hangings = with_loose(_all("drying", "Hanging").standing().whole(), on)
    dry = with_left(_all("growing", "Parting").filter(way="cut_dry").whole(), on, "parting")
    return [one for rows in (hangings, dry) for one in rows.filter(loose__gt=0).order_by("on", "pk")]


def _all(stage: str, model: str) -> Any:
    return apps.get_model(stage, model)._default_manager.all()


def _used(on: date, kind: str) -> Coalesce:
    return total(rows_of("RunInput").filter(run__undone_at__isnull=True, run__on__lte=on), kind, "stems")


def lowest_loose(source: Hanging | Parting | Oddments, on: date) -> int:
    """The fewest stems of a hanging, of stems cut dry or of oddments loose on `on` or any later day."""
    used = source.run_inputs.filter(run__undone_at__isnull=True).values_list("run__on", "stems")
    return lowest_from([*_came(source), *((day, -stems) for day, stems in used)], on)


def _came(source: Loose) -> Iterable[DayChange]:
    takings = getattr(source, "takings", None)
    return [(source.on, source.stems)] if takings is None else takings.standing().values_list("on", "sound")
