"""Plots, beds, plantings, harvest lots and what leaves a lot."""

from .ground import Bed, Plot, Species, Variety
from .lots import MOST_GRAMS, CutValue, Lot, Parting, WaterLimit
from .plantings import MOST_STEMS, Clearing, Expectation, GoneOver, Planting
from .stays import CutOver, Division, Life, PartCleared, PlantedOut, SeedlingsDumped

__all__ = [
    "MOST_GRAMS",
    "MOST_STEMS",
    "Bed",
    "Clearing",
    "CutOver",
    "CutValue",
    "Division",
    "Expectation",
    "GoneOver",
    "Life",
    "Lot",
    "PartCleared",
    "Parting",
    "PlantedOut",
    "Planting",
    "Plot",
    "SeedlingsDumped",
    "Species",
    "Variety",
    "WaterLimit",
]
