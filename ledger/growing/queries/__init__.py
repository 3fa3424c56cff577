"""Questions about beds, plantings and lots."""

from .ground import BedQuerySet, area_held, areas_in, areas_of, free_area, overfull_beds, overfull_in, unlaid_area
from .lots import DAYS_IN_WATER, LotQuerySet, PartingQuerySet, days_in_water, stems_left_ever
from .plan import BedOnPlan, PlotPlan, Stay, bed_stays, place_of, plot_plan, plot_plans
from .plantings import PlantingQuerySet, cleared_on, life_on, lot_last_cut, plants_left, usual_stems

__all__ = [
    "DAYS_IN_WATER",
    "BedOnPlan",
    "BedQuerySet",
    "LotQuerySet",
    "PartingQuerySet",
    "PlantingQuerySet",
    "PlotPlan",
    "Stay",
    "area_held",
    "areas_in",
    "areas_of",
    "bed_stays",
    "cleared_on",
    "days_in_water",
    "free_area",
    "life_on",
    "lot_last_cut",
    "overfull_beds",
    "overfull_in",
    "place_of",
    "plants_left",
    "plot_plan",
    "plot_plans",
    "stems_left_ever",
    "unlaid_area",
    "usual_stems",
]
