"""Pictures drawn on the server: where each shape stands, in whole units of the drawing."""

from .bars import FOOT, HEAD, HIGH, STEP, Bar, DayBars, Layer, StackedBars
from .bed_rows import BedRows, RowBar
from .either_way import EitherWay, Sway
from .flow import Shape, StemFlow
from .plan import Part, PlanOfBeds, PlotDrawn, outlines
from .ranked import RankedBars, RankedRow
from .shades import PLAIN, UNKNOWN, Shade, Shades
from .side_by_side import Pair, SideBySide
from .words import Words

__all__ = [
    "FOOT",
    "HEAD",
    "HIGH",
    "PLAIN",
    "STEP",
    "UNKNOWN",
    "Bar",
    "BedRows",
    "DayBars",
    "EitherWay",
    "Layer",
    "Pair",
    "Part",
    "PlanOfBeds",
    "PlotDrawn",
    "RankedBars",
    "RankedRow",
    "RowBar",
    "Shade",
    "Shades",
    "Shape",
    "SideBySide",
    "StackedBars",
    "StemFlow",
    "Sway",
    "Words",
    "outlines",
]
