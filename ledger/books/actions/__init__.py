"""The verbs of the books: closing a year and opening it again; how few stems are too few to judge by."""

from .closing import close_year, reopen_year
from .least import set_least_stems, undo_least_stems

__all__ = ["close_year", "reopen_year", "set_least_stems", "undo_least_stems"]
