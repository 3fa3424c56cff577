"""Questions about beds, plantings and lots."""

from .ground import BedQuerySet, area_held, areas_in, areas_of, free_area, overfull_beds, overfull_in, unlaid_area
from .lots import DAYS_IN_WATER, LotQuerySet, PartingQuerySet, days_in_water, stems_left_ever
from .plantings import PlantingQuerySet, cleared_on, life_on, lot_last_cut, plants_left, usual_stems

__all__ = [
    "DAYS_IN_WATER",
    "BedQuerySet",
    "LotQuerySet",
    "PartingQuerySet",
    "PlantingQuerySet",
    "area_held",
    "areas_in",
    "areas_of",
    "cleared_on",
    "days_in_water",
    "free_area",
    "life_on",
    "lot_last_cut",
    "overfull_beds",
    "overfull_in",
    "plants_left",
    "stems_left_ever",
    "unlaid_area",
    "usual_stems",
]
