"""What bunches and stems are drawn for: the few words a reason begins with."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

OTHERWISE = "other"
DRAWN_FOR = [
    ("sample", _("sample")), ("gift", _("gift")), ("home use", _("home use")), ("display", _("display")),
    (OTHERWISE, _("something else")),
]


def drawn_for(reason: str) -> str:
    """What a reason says something was drawn for, `other` where it begins with none of the words.

    >>> drawn_for("gift: at midwinter"), drawn_for("Home use"), drawn_for("gifts at midwinter"), drawn_for("a wedding")
    ('gift', 'home use', 'gift', 'other')
    """
    said = reason.strip().casefold()
    return next((word for word, _label in DRAWN_FOR if said.startswith(word)), OTHERWISE)
