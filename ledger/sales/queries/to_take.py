"""What can be taken for a job or a workshop: what it needs first, then all that is there, each with where it lies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import QuerySet, Sum
from django.utils.translation import gettext as _

from ledger.growing.models import Lot
from ledger.sales.models import Job, Workshop
from ledger.stock.models import Box, Content, Line

from .job_needs import FRESH, LINE, Need, needed_for
from .offering import lots_in_water

PLACES_SHOWN = 3


@dataclass(frozen=True)
class ToTake:
    """A line or a lot; a remark beside it; how many the work still needs of it (nil: it does not)."""

    what: Any
    note: str
    needed: int = 0


def lines_to_take(work: Job | Workshop, on: date, box: Box | None = None) -> list[ToTake]:
    """The lines of a box, else those the work still needs, then all others on hand."""
    needs = {one.what.pk: one for one in _needs(work, on, LINE) if one.to_take or one.kept}
    there = _in_box(box) if box is not None else {}
    if box is not None:
        lines = list(Line.objects.whole().filter(pk__in=there))
    else:
        lines = [line for line in Line.objects.whole().with_free() if line.on_hand > 0 or line.pk in needs]
    where = {} if box is not None else _where({line.pk for line in lines})
    rows = [_line_row(line, needs.get(line.pk), there.get(line.pk), where.get(line.pk, [])) for line in lines]
    return sorted(rows, key=lambda row: row.what.pk not in needs)


def _needs(work: Job | Workshop, on: date, kind: str) -> list[Need]:
    return [one for one in needed_for(work, on) if one.kind == kind] if isinstance(work, Job) else []


def _in_box(box: Box) -> dict[int, int]:
    there = Content.objects.filter(box=box, bunches__gt=0).order_by().values_list("batch__line")
    return dict(there.annotate(n=Sum("bunches")))


def _line_row(line: Line, need: Need | None, in_box: int | None, where: list[str]) -> ToTake:
    said = [_("%(n)d in it") % {"n": in_box}] if in_box is not None else []
    if need is not None and need.to_take:
        said.append(_("%(n)d still to take") % {"n": need.to_take})
    if need is not None and need.kept:
        said.append(_("%(n)d kept") % {"n": need.kept})
    needed = need.to_take if need is not None else 0
    return ToTake(line, " · ".join([*said, *where]), needed if in_box is None else min(needed, in_box))


def _where(lines: Collection[int]) -> dict[int, list[str]]:
    """Where the oldest bunches of each line lie, by its key: “A1 0007K: 12”; no parcel is named."""
    found: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    places = Content.objects.there().out_of_parcels().filter(batch__line__in=lines).select_related("batch", "box")
    for one in places:
        box = f"{one.box.shelf} {one.box.code}".strip() if one.box else _("not yet boxed")
        found[one.batch.line_id][box] += one.bunches
    return {line: _in_words(boxes) for line, boxes in found.items()}


def _in_words(boxes: dict[str, int]) -> list[str]:
    said = [f"{box}: {bunches}" for box, bunches in boxes.items()]
    return [*said[:PLACES_SHOWN], *(["…"] if len(said) > PLACES_SHOWN else [])]


def boxes_to_take_from() -> QuerySet[Box]:
    """Boxes on shelves with something in them, in walking order."""
    return Box.objects.on_shelves().filter(contents__bunches__gt=0).distinct().order_by("shelf", "code")


def lots_to_take(work: Job | Workshop, on: date) -> list[ToTake]:
    """Lots with stems in water, those of varieties the work still needs first."""
    needs = {one.what.pk: one.to_take for one in _needs(work, on, FRESH) if one.to_take}
    rows = [_lot_row(lot, needs.get(lot.planting.variety_id, 0)) for lot in lots_in_water(on)]
    return sorted(rows, key=lambda row: not row.needed)


def _lot_row(lot: Lot, needed: int) -> ToTake:
    said = [_("%(n)d in water") % {"n": lot.stems_in_water}]  # type: ignore[attr-defined]
    if needed:
        said.append(_("%(n)d of the variety still to take") % {"n": needed})
    return ToTake(lot, " · ".join(said), min(needed, lot.stems_in_water))  # type: ignore[attr-defined]
