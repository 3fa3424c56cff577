"""The cost book: costs flow along the graph of where stems went.

Each node has its own direct costs; each parting shares all it carries by
largest remainder, so that nothing is lost or made. Nothing here is stored: the
book of any day is made from the facts of that day.
"""

from .amounts import STAGES_TO_THE_BOX, Amounts, added, less, part_of, total
from .batches import in_making_order
from .build import Book, make_book, with_moves
from .facts import (
    BatchFact,
    Calendar,
    CostFacts,
    Division,
    Element,
    Ground,
    HangingFact,
    Key,
    LotFact,
    MaterialCount,
    MaterialUse,
    MovementFact,
    OddmentsFact,
    PartingFact,
    PlantingFact,
    RunFact,
    SpaceFact,
    Spending,
)
from .graph import Entry, Flow, Node, Standing
from .lines import LineHeld
from .plantings import mothers_first
from .space import bed_days
from .spending import SEASONS_APART, bearing_season, cutting_over, season_key

__all__ = [
    "SEASONS_APART",
    "STAGES_TO_THE_BOX",
    "Amounts",
    "BatchFact",
    "Book",
    "Calendar",
    "CostFacts",
    "Division",
    "Element",
    "Entry",
    "Flow",
    "Ground",
    "HangingFact",
    "Key",
    "LineHeld",
    "LotFact",
    "MaterialCount",
    "MaterialUse",
    "MovementFact",
    "Node",
    "OddmentsFact",
    "PartingFact",
    "PlantingFact",
    "RunFact",
    "SpaceFact",
    "Spending",
    "Standing",
    "added",
    "bearing_season",
    "bed_days",
    "cutting_over",
    "in_making_order",
    "less",
    "make_book",
    "mothers_first",
    "part_of",
    "season_key",
    "total",
    "with_moves",
]
