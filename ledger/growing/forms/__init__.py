"""The forms of growing: few fields, for wet hands."""

from .ground import BedForm, ChangeSpeciesForm, ChangeVarietyForm, PlotForm, RenameForm, SpeciesForm, VarietyForm
from .lots import CutForm, PartForm
from .plantings import ClearForm, ExpectForm, GoneOverForm, PlantForm
from .rounds import CutRoundForm

__all__ = [
    "BedForm",
    "ChangeSpeciesForm",
    "ChangeVarietyForm",
    "ClearForm",
    "CutForm",
    "CutRoundForm",
    "ExpectForm",
    "GoneOverForm",
    "PartForm",
    "PlantForm",
    "PlotForm",
    "RenameForm",
    "SpeciesForm",
    "VarietyForm",
]
