"""What was lost and kept, and what is usually lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.apps import apps
from django.db.models import F, Sum

from ledger.facts.models import FactQuerySet
from ledger.growing.models import Variety

if TYPE_CHECKING:
    from ..models import Disaster, Hanging, LossNorm

WHOLE_BP = 10_000


def norm_in_force(variety: Variety, on: date) -> LossNorm | None:
    """The usual loss entered for a variety and in force that day, None where nobody entered one."""
    norms: FactQuerySet = apps.get_model("drying", "LossNorm")._default_manager.all()
    return norms.standing_on(on).filter(variety=variety).order_by("-on", "-pk").first()


@dataclass(frozen=True)
class UsualLoss:
    """The usual share lost: `entered` from a day on, else learnt from so many `hangings`; neither: taken as nil."""

    share_bp: int
    entered: date | None = None
    hangings: int = 0


def learnt_losses(on: date, *, besides: Hanging | None = None) -> dict[int, UsualLoss]:
    """By variety's key the share lost of the hangings finished by that day that were no disaster and no trial.

    Halves up. Of stems moved on the hanging they were moved to tells.
    """
    hangings = apps.get_model("drying", "Hanging")._default_manager.finished(on).with_disaster(on).with_lost(on)
    hangings = hangings.filter(is_disaster=False, trial=False, moved__lt=F("stems"))
    if besides is not None:
        hangings = hangings.exclude(pk=besides.pk)
    counts: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for variety, stems, lost in hangings.values_list("parting__lot__planting__variety", F("stems") - F("moved"), "lost"):
        counts[variety].append((stems, lost))
    return {variety: _learnt(rows) for variety, rows in counts.items()}


def _learnt(counts: list[tuple[int, int]]) -> UsualLoss:
    hung, lost = sum(stems for stems, _ in counts), sum(lost for _, lost in counts)
    return UsualLoss(min((2 * lost * WHOLE_BP + hung) // (2 * hung), WHOLE_BP - 1), hangings=len(counts))


def learnt_loss_bp(variety: Variety, on: date, *, besides: Hanging | None = None) -> int | None:
    """The share lost of a variety's earlier hangings, None before the first that tells."""
    learnt = learnt_losses(on, besides=besides).get(variety.pk)
    return learnt.share_bp if learnt else None


def usual_loss(variety: Variety, on: date, *, besides: Hanging | None = None) -> UsualLoss:
    """The norm in force, else what was learnt, else nil, in hundredths of a per cent of stems hung."""
    norm = norm_in_force(variety, on)
    if norm is not None:
        return UsualLoss(norm.share_bp, entered=norm.on)
    return learnt_losses(on, besides=besides).get(variety.pk, UsualLoss(0))


def usual_loss_bp(variety: Variety, on: date, *, besides: Hanging | None = None) -> int:
    """The share alone of the usual loss."""
    return usual_loss(variety, on, besides=besides).share_bp


def usual_losses(on: date) -> list[tuple[Variety, UsualLoss]]:
    """The usual loss of every variety for which one is entered or learnt, by name."""
    norms = apps.get_model("drying", "LossNorm")._default_manager.standing_on(on).order_by("on", "pk")
    entered = {norm.variety_id: UsualLoss(norm.share_bp, entered=norm.on) for norm in norms}
    usual = learnt_losses(on) | entered
    varieties = Variety.objects.filter(pk__in=usual).select_related("species").order_by("species__name", "name", "pk")
    return [(variety, usual[variety.pk]) for variety in varieties]


def disaster_of(hanging: Hanging) -> Disaster | None:
    """The standing mark of a hanging, None where it is none."""
    return hanging.disasters.standing().first()


def losses_of(hanging: Hanging) -> list[tuple[str, int]]:
    """Stems of a hanging lost so far by reason, in words, most first."""
    losses = apps.get_model("drying", "Loss")._default_manager.filter(taking__hanging=hanging, taking__undone_at__isnull=True)
    sums = losses.order_by().values_list("reason").annotate(n=Sum("stems")).order_by("-n", "reason")
    words = dict(losses.model.Reason.choices)
    return [(words[reason], number) for reason, number in sums]


Counts = Iterable[tuple[date, int]]


def first_day_over(used: Counts, had: Counts) -> date | None:
    """The first day by which more was used than there was, None where there is none."""
    used, had = list(used), list(had)
    return next((day for day, _ in sorted(used) if _by(used, day) > _by(had, day)), None)


def least_lost_unkept(hanging: Hanging, on: date) -> int:
    """Stems lost and not kept as oddments, the fewest on that day and any later one."""
    kept = list(hanging.oddments.standing().values_list("on", "stems"))
    lost = list(hanging.takings.standing().with_lost().values_list("on", "lost"))
    return min(_by(lost, day) - _by(kept, day) for day in (on, *(day for day, _ in kept if day > on)))


def _by(counts: Counts, day: date) -> int:
    return sum(number for on, number in counts if on <= day)
