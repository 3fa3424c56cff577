"""Bunch lines, runs, batches, boxes, the stock book, holds and counts."""

from .book import CountLine, Movement, StockCount
from .boxes import Box, Content, HeldBack, LetGo
from .holds import Balance, Hold, HoldChange
from .lines import KeepsFor, Line, Recipe, RecipePart
from .runs import Batch, Run, RunInput
from .takes import RepackedRow, Repacking, StockTake, TakeCounted, TakeEnd

__all__ = [
    "Balance", "Batch", "Box", "Content", "CountLine", "HeldBack", "Hold", "HoldChange", "KeepsFor", "LetGo", "Line",
    "Movement", "Recipe", "RecipePart", "RepackedRow", "Repacking", "Run", "RunInput", "StockCount", "StockTake",
    "TakeCounted", "TakeEnd",
]
