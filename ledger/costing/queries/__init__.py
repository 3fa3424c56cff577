"""Questions about cost: the book of any day, a line's cost sheet, where a figure comes from."""

from .bases import Bases, kinds_on
from .book import book, forget_books, fresh_book
from .reading import read_facts
from .sheet import CostSheet, Layer, cost_sheet, cost_sheets, layers_of, overhead_plan_on

__all__ = [
    "Bases",
    "CostSheet",
    "Layer",
    "book",
    "cost_sheet",
    "cost_sheets",
    "forget_books",
    "fresh_book",
    "kinds_on",
    "layers_of",
    "overhead_plan_on",
    "read_facts",
]
