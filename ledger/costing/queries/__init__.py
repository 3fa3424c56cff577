"""Questions about cost: the book of any day, a line's cost sheet, where a figure comes from."""

from .book import book, fresh_book
from .reading import read_facts

__all__ = ["book", "fresh_book", "read_facts"]
