"""The verbs of drying: hang, move, take down, and what is made of the losses."""

from .loft import (
    add_place,
    hang,
    mark_disaster,
    rename_place,
    set_loss_norm,
    take_down,
    undo_disaster,
    undo_loss_norm,
    undo_taking_down,
)
from .moving import move_hanging, undo_hanging
from .oddments import keep_oddments, mark_trial, undo_oddments
from .readings import note_reading, set_damp_limit, undo_damp_limit, undo_reading
from .rounds import DownRow, take_down_round

__all__ = [
    "DownRow",
    "add_place",
    "hang",
    "keep_oddments",
    "mark_disaster",
    "mark_trial",
    "move_hanging",
    "note_reading",
    "rename_place",
    "set_damp_limit",
    "set_loss_norm",
    "take_down",
    "take_down_round",
    "undo_damp_limit",
    "undo_disaster",
    "undo_hanging",
    "undo_loss_norm",
    "undo_oddments",
    "undo_reading",
    "undo_taking_down",
]
