"""Bunch lines, runs, batches, boxes, the stock book, holds and counts."""

from .book import CountLine, Movement, StockCount
from .boxes import Box, Content, HeldBack, LetGo, ShelfRoom
from .holds import Balance, Hold, HoldChange
from .lines import KeepsFor, Line, Recipe, RecipePart
from .runs import Batch, Run, RunInput
from .takes import RepackedRow, Repacking, StockTake, TakeCounted, TakeEnd

__all__ = [
    "Balance", "Batch", "Box", "Content", "CountLine", "HeldBack", "Hold", "HoldChange", "KeepsFor", "LetGo", "Line",
    "Movement", "Recipe", "RecipePart", "RepackedRow", "Repacking", "Run", "RunInput", "ShelfRoom", "StockCount",
    "StockTake", "TakeCounted", "TakeEnd",
]
