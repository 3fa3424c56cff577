"""The stages of cost in words."""

from django.utils.translation import gettext_lazy as _

STAGE_NAMES = {
    "growing": _("Growing"),
    "bed_space": _("Bed space"),
    "cutting": _("Cutting"),
    "drying": _("Hanging and drying"),
    "drying_space": _("Drying space"),
    "bunching": _("Bunching"),
    "materials": _("Materials"),
    "storage": _("Storage"),
    "selling": _("Selling"),
    "overheads": _("Overheads"),
}
