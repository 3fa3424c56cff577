"""Questions about hangings, the room they take and what is usually lost."""

from .days import Up, UsualDays, due_down, hung_so_far, usual_days
from .losses import (
    WHOLE_BP,
    UsualLoss,
    disaster_of,
    first_day_over,
    learnt_loss_bp,
    least_lost_unkept,
    losses_of,
    norm_in_force,
    usual_loss,
    usual_loss_bp,
    usual_losses,
)
from .room import overfull_in, overfull_places, room_taken_by_day, room_taken_on, stems_still_up
from .sets import HangingQuerySet, OddmentsQuerySet, PlaceQuerySet, ReadingQuerySet, TakingDownQuerySet, total

__all__ = [
    "WHOLE_BP",
    "HangingQuerySet",
    "OddmentsQuerySet",
    "PlaceQuerySet",
    "ReadingQuerySet",
    "TakingDownQuerySet",
    "Up",
    "UsualDays",
    "UsualLoss",
    "disaster_of",
    "due_down",
    "first_day_over",
    "hung_so_far",
    "learnt_loss_bp",
    "least_lost_unkept",
    "losses_of",
    "norm_in_force",
    "overfull_in",
    "overfull_places",
    "room_taken_by_day",
    "room_taken_on",
    "stems_still_up",
    "total",
    "usual_days",
    "usual_loss",
    "usual_loss_bp",
    "usual_losses",
]
