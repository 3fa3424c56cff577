"""The forms of growing: few fields, for wet hands."""

from .ground import BedForm, ChangeSpeciesForm, ChangeVarietyForm, PlotForm, RenameForm, SpeciesForm, VarietyForm
from .lots import CutForm, PartForm
from .plantings import ClearForm, ExpectForm, PlantForm
from .rounds import CutRoundForm

__all__ = [
    "BedForm",
    "ChangeSpeciesForm",
    "ChangeVarietyForm",
    "ClearForm",
    "CutForm",
    "CutRoundForm",
    "ExpectForm",
    "PartForm",
    "PlantForm",
    "PlotForm",
    "RenameForm",
    "SpeciesForm",
    "VarietyForm",
]
