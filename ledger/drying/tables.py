"""The tables of drying."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import DampLimit, Hanging, LossNorm, Oddments, Place, Reading, TakingDown

VARIETY = "parting__lot__planting__variety"


class HangingTable(tables.Table):
    """Hangings, the latest first."""

    what = tables.Column(_("Variety"), accessor=VARIETY, order_by=(f"{VARIETY}__species__name", f"{VARIETY}__name"))
    moved = tables.Column(_("Moved on"))
    stems_up = tables.Column(_("Still up"))
    sound = tables.Column(_("Sound"))
    lost = tables.Column(_("Lost"))

    class Meta:
        model = Hanging
        fields = ("on", "what", "place", "stems", "moved", "stems_up", "sound", "lost")
        empty_text = _("Nothing has been hung yet.")


class TakingDownTable(tables.Table):
    """Takings down, the latest first."""

    what = tables.Column(
        _("Variety"), accessor=f"hanging__{VARIETY}",
        order_by=(f"hanging__{VARIETY}__species__name", f"hanging__{VARIETY}__name"),
    )
    place = tables.Column(_("Place"), accessor="hanging__place")
    lost = tables.Column(_("Lost"))

    class Meta:
        model = TakingDown
        fields = ("on", "what", "place", "stems", "sound", "lost", "dried_g")
        empty_text = _("Nothing has been taken down yet.")


class OddmentsTable(tables.Table):
    """Oddments kept, the latest first; what they are worth for those who may see costs."""

    what = tables.Column(
        _("Of the hanging"), accessor=f"hanging__{VARIETY}",
        order_by=(f"hanging__{VARIETY}__species__name", f"hanging__{VARIETY}__name"),
    )

    class Meta:
        model = Oddments
        fields = ("on", "what", "stems", "value")
        empty_text = _("No oddments are kept yet.")


class PlaceTable(tables.Table):
    """Drying places by name."""

    room_taken = tables.Column(_("Taken today"))

    class Meta:
        model = Place
        fields = ("name", "unit", "room", "room_taken")
        empty_text = _("No drying place is named yet.")


class LossNormTable(tables.Table):
    """Usual losses, the latest first."""

    share_bp = tables.Column(_("Usual loss"), attrs={"th": {"class": "number"}, "td": {"class": "number"}})

    class Meta:
        model = LossNorm
        fields = ("on", "variety", "share_bp")
        empty_text = _("No usual loss is entered yet: it is learnt from earlier hangings.")


class ReadingTable(tables.Table):
    """Readings, the latest first."""

    temperature = tables.Column(_("Temperature"), accessor="temperature_tenths_c")
    damp = tables.Column(_("Damp again"))

    class Meta:
        model = Reading
        fields = ("on", "at", "place", "humidity_percent", "temperature", "damp")
        empty_text = _("No reading is noted yet.")


class DampLimitTable(tables.Table):
    """Limits of damp, the latest first."""

    class Meta:
        model = DampLimit
        fields = ("on", "humidity_percent")
        empty_text = _("No limit is set: no place is called damp.")
