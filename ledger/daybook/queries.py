"""Questions about workers, their hours and rates."""

from __future__ import annotations

from datetime import date

from django.apps import apps
from django.db.models import Sum


def rate_in_force(worker: object, on: date) -> int | None:
    """What an hour of a worker costs that day, in minor units; None before the first rate."""
    rates = apps.get_model("daybook", "WorkerRate").objects.standing_on(on).filter(worker=worker)
    return rates.order_by("-on", "-pk").values_list("per_hour", flat=True).first()


def minutes_on(worker: object, on: date) -> int:
    """Minutes already noted for a worker on one day."""
    entries = apps.get_model("daybook", "WorkEntry").objects.standing().filter(worker=worker, on=on)
    return entries.aggregate(n=Sum("minutes"))["n"] or 0
