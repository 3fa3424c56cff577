"""The tables of growing."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import Bed, GoneOver, Lot, Parting, Planting, Plot, Species, Variety, WaterLimit

BY_VARIETY = ("variety__species__name", "variety__name")


class PlotTable(tables.Table):
    """Plots by name."""

    class Meta:
        model = Plot
        fields = ("name", "kind", "area_m2")
        order_by = "name"
        empty_text = _("No plot yet.")


class BedTable(tables.Table):
    """Beds by plot and name."""

    free_m2 = tables.Column(_("Free today (m2)"))

    class Meta:
        model = Bed
        fields = ("name", "plot", "area_m2", "free_m2")
        order_by = ("plot", "name")
        empty_text = _("No bed yet.")


class SpeciesTable(tables.Table):
    """Species by name."""

    class Meta:
        model = Species
        fields = ("name", "botanical", "stems_per_m2", "days_to_dry", "caution")
        order_by = "name"
        empty_text = _("No species yet.")


class VarietyTable(tables.Table):
    """Varieties by species."""

    class Meta:
        model = Variety
        fields = ("name", "species", "colour")
        order_by = ("species", "name")
        empty_text = _("No variety yet.")


class PlantingTable(tables.Table):
    """Plantings, the latest season first."""

    season = tables.Column(_("Season"), attrs={"th": {"class": "number"}, "td": {"class": "number"}})
    variety = tables.Column(order_by=BY_VARIETY)
    bed = tables.Column(order_by=("bed__plot__name", "bed__name"))
    stems_cut = tables.Column(_("Stems cut"))
    cleared_on = tables.Column(_("Cleared"))

    class Meta:
        model = Planting
        fields = ("variety", "bed", "season", "area_m2", "on", "stems_cut", "cleared_on")
        order_by = ("-season", "variety")
        empty_text = _("Nothing has been planted yet.")


class LotTable(tables.Table):
    """Harvest lots, the latest first."""

    what = tables.Column(
        _("Variety"), accessor="planting__variety",
        order_by=("planting__variety__species__name", "planting__variety__name"),
    )
    bed = tables.Column(_("Bed"), accessor="planting__bed", order_by=("planting__bed__plot__name", "planting__bed__name"))
    stems_in_water = tables.Column(_("In water"))

    class Meta:
        model = Lot
        fields = ("on", "what", "bed", "stage", "stems", "stems_in_water")
        order_by = ("-on", "-pk")
        empty_text = _("Nothing has been cut yet.")


class PartingTable(tables.Table):
    """What left the lots, the latest first."""

    what = tables.Column(
        _("Variety"), accessor="lot__planting__variety",
        order_by=("lot__planting__variety__species__name", "lot__planting__variety__name"),
    )

    class Meta:
        model = Parting
        fields = ("on", "what", "way", "stems", "why")
        order_by = ("-on", "-pk")
        empty_text = _("Nothing has left a lot yet.")


class GoneOverTable(tables.Table):
    """What went over uncut, the latest first."""

    what = tables.Column(
        _("Variety"), accessor="planting__variety",
        order_by=("planting__variety__species__name", "planting__variety__name"),
    )
    bed = tables.Column(_("Bed"), accessor="planting__bed", order_by=("planting__bed__plot__name", "planting__bed__name"))

    class Meta:
        model = GoneOver
        fields = ("on", "what", "bed", "stems", "why")
        order_by = ("-on", "-pk")
        empty_text = _("Nothing is noted as gone over.")


class WaterLimitTable(tables.Table):
    """Limits in water, the latest first."""

    class Meta:
        model = WaterLimit
        fields = ("on", "days")
        order_by = ("-on", "-pk")
        empty_text = _("No limit is set: two days count as too long.")
