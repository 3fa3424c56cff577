"""Pictures drawn on the server: where each shape stands, in whole units of the drawing."""

from .bars import FOOT, HEAD, HIGH, STEP, Bar, DayBars, Layer, StackedBars
from .either_way import EitherWay, Sway
from .flow import Shape, StemFlow
from .words import Words

__all__ = [
    "FOOT", "HEAD", "HIGH", "STEP", "Bar", "DayBars", "EitherWay", "Layer", "Shape", "StackedBars", "StemFlow", "Sway", "Words",
]
