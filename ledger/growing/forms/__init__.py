"""The forms of growing: few fields, for wet hands."""

from .ground import BedForm, ChangeSpeciesForm, ChangeVarietyForm, PlotForm, RenameForm, SpeciesForm, VarietyForm
from .lots import CutForm, DryForm, PartForm
from .plan_of_beds import LayOutBedsForm
from .plantings import BeginForm, ExpectForm, GoneOverForm, PlantForm
from .rounds import CutRoundForm
from .stays import ClearForm, ClearPartForm, CutOverForm, DivideForm, DumpForm, LifeForm, PlantOutForm
from .values import ValueWaysForm, WaterLimitForm

__all__ = [
    "BedForm",
    "BeginForm",
    "ChangeSpeciesForm",
    "ChangeVarietyForm",
    "ClearForm",
    "ClearPartForm",
    "CutForm",
    "CutOverForm",
    "CutRoundForm",
    "DivideForm",
    "DryForm",
    "DumpForm",
    "ExpectForm",
    "GoneOverForm",
    "LayOutBedsForm",
    "LifeForm",
    "PartForm",
    "PlantForm",
    "PlantOutForm",
    "PlotForm",
    "RenameForm",
    "SpeciesForm",
    "ValueWaysForm",
    "VarietyForm",
    "WaterLimitForm",
]
