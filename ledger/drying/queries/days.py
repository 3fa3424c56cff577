"""How long stems hang, and what is due down."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.apps import apps

if TYPE_CHECKING:
    from ledger.growing.models import Variety

    from ..models import Hanging


@dataclass(frozen=True)
class UsualDays:
    """Days a variety usually hangs until all is down; None: not known. On so many `hangings`; nil: the species list."""

    days: int | None
    hangings: int = 0


@dataclass(frozen=True)
class Up:
    """A hanging still up: for how many days, and how long such stems usually take here."""

    hanging: Hanging
    days: int
    usual: UsualDays

    @property
    def due(self) -> bool:
        """Whether it has hung as long as usual."""
        return self.usual.days is not None and self.days >= self.usual.days


def usual_days(varieties: Iterable[Variety], on: date) -> dict[int, UsualDays]:
    """For each variety, by key, the median of its hangings finished by that day, else the species' days to dry.

    Of an even number the mean of the middle two, halves up. Stems that were
    moved count from the day they were first hung; a hanging of which nothing
    came down, all of it moved on, tells nothing, nor does a trial.
    """
    known = {one.pk: one for one in varieties}
    hangings = apps.get_model("drying", "Hanging")._default_manager.standing().with_down_on()
    hangings = hangings.filter(
        down_on__lte=on, last_taking__isnull=False, trial=False, parting__lot__planting__variety__in=known
    )
    took: dict[int, list[int]] = defaultdict(list)
    for variety, hung, down in hangings.values_list("parting__lot__planting__variety", "parting__on", "last_taking"):
        took[variety].append((down - hung) // timedelta(days=1))
    listed = {key: UsualDays(one.species.days_to_dry) for key, one in known.items()}
    return listed | {key: UsualDays(_median(days), len(days)) for key, days in took.items()}


def _median(numbers: Sequence[int]) -> int:
    ranked, middle = sorted(numbers), len(numbers) // 2
    return ranked[middle] if len(ranked) % 2 else (ranked[middle - 1] + ranked[middle] + 1) // 2


def hung_so_far(hangings: Iterable[Hanging], on: date) -> list[Up]:
    """Each hanging with the days its stems have hung, wherever, and how long such stems usually take."""
    rows = [(hanging, hanging.parting.lot.planting.variety) for hanging in hangings]
    usual = usual_days((variety for _, variety in rows), on)
    return [Up(hanging, (on - hanging.parting.on) // timedelta(days=1), usual[variety.pk]) for hanging, variety in rows]


def due_down(on: date) -> list[Up]:
    """What is due down that day, place by place, the longest hung first."""
    hangings = apps.get_model("drying", "Hanging")._default_manager.still_up(on).whole()
    return [up for up in hung_so_far(hangings.order_by("place__name", "parting__on", "on", "pk"), on) if up.due]
