"""The verbs of stock: lines, runs, boxes, the stock book, holds, counts."""

from .book import Row, lock_lines, post, unpost
from .boxes import draw, move, move_box, new_box, undo_movement, write_off
from .bunching import make_run, undo_run
from .coming_down import bring_down_bunches
from .counts import count_box, count_boxes, undo_count
from .holding_back import hold_back, let_go, undo_hold_back, undo_let_go
from .holds import fill_again, give_up, hold, hold_more, release, use_hold
from .holds_undone import undo_hold, undo_hold_change, undo_hold_changes
from .keeping import set_keeps_for, undo_keeps_for
from .lines import add_line
from .making_up import buy_in, make_up, rework, undo_buying_in
from .outputs import Output
from .putting_right import posted_by
from .recipes import set_recipe, undo_recipe
from .repacking import empty_box, put_together, split_box, undo_repacking
from .selling import pick_bunches, sell_bunches, take_back
from .sheets import count_sheet
from .shelves import set_shelf_room, undo_shelf_room
from .shortness import mark_short
from .takes import begin_take, count_in_take, end_take, undo_counted, undo_end_take, undo_take

__all__ = [
    "Output", "Row", "add_line", "begin_take", "bring_down_bunches", "buy_in", "count_box", "count_boxes",
    "count_in_take", "count_sheet", "draw", "empty_box", "end_take", "fill_again", "give_up", "hold", "hold_back",
    "hold_more", "let_go",
    "lock_lines", "make_run", "make_up", "mark_short", "move", "move_box", "new_box", "pick_bunches", "post",
    "posted_by", "put_together", "release", "rework", "sell_bunches", "set_keeps_for", "set_recipe", "set_shelf_room",
    "split_box",
    "take_back", "undo_buying_in", "undo_count", "undo_counted", "undo_end_take", "undo_hold", "undo_hold_back",
    "undo_hold_change", "undo_hold_changes",
    "undo_keeps_for", "undo_let_go", "undo_movement", "undo_recipe", "undo_repacking", "undo_run", "undo_shelf_room", "undo_take",
    "unpost", "use_hold", "write_off",
]
