"""The verbs of stock: lines, bunching runs, boxes, the stock book, holds, counts."""

from .book import Row, lock_lines, post, unpost
from .boxes import draw, move, move_box, new_box, undo_movement, write_off
from .bunching import Output, make_run, undo_run
from .counts import count_box, undo_count
from .holds import fill_again, hold, hold_more, release, undo_hold_change, use_hold
from .lines import add_line
from .selling import sell_bunches, take_back
from .shortness import mark_short

__all__ = [
    "Output", "Row", "add_line", "count_box", "draw", "fill_again", "hold", "hold_more", "lock_lines", "make_run",
    "mark_short", "move", "move_box", "new_box", "post", "release", "sell_bunches", "take_back", "undo_count",
    "undo_hold_change", "undo_movement", "undo_run", "unpost", "use_hold", "write_off",
]
