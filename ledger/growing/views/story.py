"""What was done to a planting while it stood, as one list by day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ..models import Planting


@dataclass(frozen=True)
class Done:
    """One thing done: its day, what, a remark, where it leads and where it is undone."""

    on: date
    says: Any
    remark: str
    undo: str
    url: str = ""


def done_to(planting: Planting) -> list[Done]:
    """Everything that stands, the latest first."""
    found = [*_of_beds(planting), *_of_perennials(planting)]
    return sorted(found, key=lambda one: one.on, reverse=True)


def _of_beds(planting: Planting) -> Iterator[Done]:
    for out in planting.planted_out.all():
        counted = str(_("%(plants)d plants") % {"plants": out.plants}) if out.plants else ""
        yield Done(out.on, out, counted, reverse("growing:undo_planted_out", args=[out.pk]), out.bed.get_absolute_url())
    for part in planting.part_clearings.standing().select_related("bed__plot").order_by("-pk"):
        yield Done(part.on, part, part.why, reverse("growing:undo_part_cleared", args=[part.pk]), part.bed.get_absolute_url())
    for dumped in planting.seedlings_dumped.standing().order_by("-pk"):
        says = _("%(plants)d plants thrown away") % {"plants": dumped.plants}
        yield Done(dumped.on, says, dumped.why, reverse("growing:undo_seedlings_dumped", args=[dumped.pk]))


def _of_perennials(planting: Planting) -> Iterator[Done]:
    for over in planting.cuttings_over.standing().order_by("-pk"):
        yield Done(over.on, _("cut over"), over.note, reverse("growing:undo_cut_over", args=[over.pk]))
    for life in planting.lives.standing().order_by("-pk"):
        says = _("%(seasons)d productive seasons expected in all") % {"seasons": life.productive_seasons}
        yield Done(life.on, says, life.why, reverse("growing:undo_life", args=[life.pk]))
    for one in planting.divisions.standing().select_related("daughter__variety__species", "daughter__bed__plot").order_by("-pk"):
        says = _("divided: %(parts)d of %(of_parts)d parts gone along") % {"parts": one.parts, "of_parts": one.of_parts}
        undo = reverse("growing:undo_division", args=[one.pk])
        yield Done(one.on, says, str(one.daughter), undo, one.daughter.get_absolute_url())
