"""Questions of the daybook."""

from .doings import done_on
from .materials import MaterialQuerySet, bought_lines, materials_used_for, on_hand
from .sharing import BY_AREA, BY_STEMS, EQUALLY, area_of, shared_by, stems_of
from .things import LATEST_OF_A_KIND, can_be_spent_on, in_path_order, offered
from .week import Week, monday_of, week_of
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
    "BY_AREA",
    "BY_STEMS",
    "EQUALLY",
    "LATEST_OF_A_KIND",
    "MaterialQuerySet",
    "PurchaseQuerySet",
    "Week",
    "WorkEntryQuerySet",
    "WorkerQuerySet",
    "area_of",
    "bought_lines",
    "can_be_spent_on",
    "done_on",
    "first_without_rate",
    "in_path_order",
    "materials_used_for",
    "minutes_on",
    "minutes_spent_on",
    "monday_of",
    "offered",
    "on_hand",
    "rate_in_force",
    "shared_by",
    "stems_of",
    "week_of",
]
