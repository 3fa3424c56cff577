"""The verbs of growing: plots and beds, planting and clearing, cutting, and what leaves a lot."""

from .ground import (
    add_bed,
    add_plot,
    add_species,
    add_variety,
    change_species,
    change_variety,
    rename_bed,
    rename_plot,
)
from .lots import (
    cut,
    draw_stems,
    part,
    throw_out,
    undo_lot,
    undo_parting,
)
from .plantings import (
    clear,
    expect,
    note_gone_over,
    plant,
    undo_clearing,
    undo_expectation,
    undo_gone_over,
    undo_planting,
)
from .rounds import CutRow, cut_round

__all__ = [
    "CutRow",
    "add_bed",
    "add_plot",
    "add_species",
    "add_variety",
    "change_species",
    "change_variety",
    "clear",
    "cut",
    "cut_round",
    "draw_stems",
    "expect",
    "note_gone_over",
    "part",
    "plant",
    "rename_bed",
    "rename_plot",
    "throw_out",
    "undo_clearing",
    "undo_expectation",
    "undo_gone_over",
    "undo_lot",
    "undo_parting",
    "undo_planting",
]
