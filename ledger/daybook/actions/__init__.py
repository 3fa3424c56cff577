"""The verbs of the daybook: workers, pay and hours, purchases, materials, what space costs in a year."""

from .clock import drop_clock, start_clock, stop_clock
from .materials import (
    add_material,
    count_material,
    rename_material,
    undo_material_count,
    undo_material_use,
    use_material,
)
from .money import BoughtLine, record_purchase, set_year_of_space, undo_purchase, undo_year_of_space
from .pay import add_worker, record_pay, set_worker_rate, undo_pay, undo_worker_rate
from .spent_on import SpentOn
from .work import Hours, note_week, note_work, undo_work

__all__ = [
    "BoughtLine",
    "Hours",
    "SpentOn",
    "add_material",
    "add_worker",
    "count_material",
    "drop_clock",
    "note_week",
    "note_work",
    "record_pay",
    "record_purchase",
    "rename_material",
    "set_worker_rate",
    "set_year_of_space",
    "start_clock",
    "stop_clock",
    "undo_material_count",
    "undo_material_use",
    "undo_pay",
    "undo_purchase",
    "undo_work",
    "undo_worker_rate",
    "undo_year_of_space",
    "use_material",
]
