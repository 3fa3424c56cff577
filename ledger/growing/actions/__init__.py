"""The verbs of growing: plots and beds, planting and clearing, cutting, and what leaves a lot."""

from .clearing import clear, clear_part, undo_clearing, undo_part_cleared
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
from .lots import came_in_dry, cut, draw_stems, part, throw_out, undo_lot, undo_parting
from .perennials import cut_over, divide, estimate_life, undo_cut_over, undo_division, undo_life
from .plan_of_beds import BedPlace, lay_out_beds, metres
from .plantings import expect, note_gone_over, plant, undo_expectation, undo_gone_over, undo_planting
from .rounds import CutRow, cut_round
from .trays import dump_seedlings, plant_out, undo_planted_out, undo_seedlings_dumped
from .values import set_water_limit, undo_cut_value, undo_water_limit, value_ways

__all__ = [
    "BedPlace",
    "CutRow",
    "add_bed",
    "add_plot",
    "add_species",
    "add_variety",
    "came_in_dry",
    "change_species",
    "change_variety",
    "clear",
    "clear_part",
    "cut",
    "cut_over",
    "cut_round",
    "divide",
    "draw_stems",
    "dump_seedlings",
    "estimate_life",
    "expect",
    "lay_out_beds",
    "metres",
    "note_gone_over",
    "part",
    "plant",
    "plant_out",
    "rename_bed",
    "rename_plot",
    "set_water_limit",
    "throw_out",
    "undo_clearing",
    "undo_cut_over",
    "undo_cut_value",
    "undo_division",
    "undo_expectation",
    "undo_gone_over",
    "undo_life",
    "undo_lot",
    "undo_part_cleared",
    "undo_parting",
    "undo_planted_out",
    "undo_planting",
    "undo_seedlings_dumped",
    "undo_water_limit",
    "value_ways",
]
