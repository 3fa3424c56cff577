"""Questions about the stock book: what there is, where it is, what is promised, what is free."""

from .ages import AgeClass, best_until, by_age, days_at_best, past_best
from .loose import Loose, loose_stems, lowest_loose, with_left, with_loose
from .made_of import cautions_for, species_of
from .picking import Taken, free_places, from_recipe, variety_of
from .running import (
    found_by_count,
    found_for,
    held_back_by,
    left_short_by,
    lines_in,
    lowest_free,
    lowest_from,
    lowest_in_place,
    lowest_kept,
    lowest_unpromised,
    pair_of,
    shortages_of,
    there_on,
    where_is,
)
from .sets import (
    BatchQuerySet,
    BoxQuerySet,
    ContentQuerySet,
    HeldBackQuerySet,
    HoldQuerySet,
    LineQuerySet,
    MovementQuerySet,
    RecipeQuerySet,
    RunInputQuerySet,
    RunQuerySet,
    StockTakeQuerySet,
    TakeCountedQuerySet,
)
from .shelves import Family, Held, Shelf, colour_families, held_in, shelves_filled
from .takes import (
    CountedRow,
    Difference,
    TakePlace,
    counted_again,
    covered,
    differences,
    empty_boxes,
    gone_since,
    is_covered,
    open_takes,
    overtaken,
    places_of,
)

__all__ = [
    "AgeClass", "BatchQuerySet", "BoxQuerySet", "ContentQuerySet", "CountedRow", "Difference", "Family", "Held",
    "HeldBackQuerySet", "HoldQuerySet", "LineQuerySet", "Loose", "MovementQuerySet", "RecipeQuerySet", "RunInputQuerySet",
    "RunQuerySet", "Shelf", "StockTakeQuerySet", "TakeCountedQuerySet", "TakePlace", "Taken", "best_until", "by_age",
    "cautions_for", "colour_families", "counted_again", "covered", "days_at_best", "differences", "empty_boxes",
    "found_by_count", "found_for", "free_places", "from_recipe", "gone_since", "held_back_by", "held_in",
    "is_covered", "left_short_by", "lines_in", "loose_stems", "lowest_free", "lowest_from", "lowest_in_place", "lowest_kept",
    "lowest_loose", "lowest_unpromised", "open_takes", "overtaken", "pair_of", "past_best", "places_of", "shelves_filled",
    "shortages_of", "species_of", "there_on", "variety_of", "where_is", "with_left", "with_loose",
]
