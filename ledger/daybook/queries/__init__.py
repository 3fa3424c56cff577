"""Questions of the daybook."""

from .materials import MaterialQuerySet, bought_lines, on_hand
from .things import LATEST_OF_A_KIND, can_be_spent_on, in_path_order, offered
from .work import (
    PurchaseQuerySet,
    WorkEntryQuerySet,
    WorkerQuerySet,
    first_without_rate,
    minutes_on,
    minutes_spent_on,
    rate_in_force,
)

__all__ = [
    "LATEST_OF_A_KIND",
    "MaterialQuerySet",
    "PurchaseQuerySet",
    "WorkEntryQuerySet",
    "WorkerQuerySet",
    "bought_lines",
    "can_be_spent_on",
    "first_without_rate",
    "in_path_order",
    "minutes_on",
    "minutes_spent_on",
    "offered",
    "on_hand",
    "rate_in_force",
]
