"""Why something was done, as a few plain words to choose from and words of one's own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

OTHER = "other"
Reasons = Sequence[tuple[str, Any]]
PRICE_REASONS: Reasons = (
    ("damaged", _("not quite sound")), ("end", _("end of the day")), ("several", _("several at once")),
    ("regular", _("a regular or a friend")), ("marked", _("marked otherwise on the table")), (OTHER, _("something else")),
)
THROWN_REASONS: Reasons = (
    ("crushed", _("crushed")), ("wet", _("wet")), ("shattered", _("shattered")), ("faded", _("faded or gone over")),
    ("handled", _("handled too much")), (OTHER, _("something else")),
)
SHOWN = _("as the list was shown")


def reason_fields(form: forms.Form, label: Any, reasons: Reasons, help_text: Any) -> None:
    """Add a choice `why` and words `why_words` to a form."""
    form.fields["why"] = forms.ChoiceField(label=label, choices=[("", "–"), *reasons], required=False, help_text=help_text)
    form.fields["why_words"] = forms.CharField(label=_("In words, if need be"), max_length=80, required=False)


def reason_said(given: dict[str, Any], reasons: Reasons) -> str:
    """The reason chosen and the words beside it; “something else” says only its words."""
    chosen, words = given.get("why") or "", (given.get("why_words") or "").strip()
    label = "" if chosen in {"", OTHER} else str(dict(reasons)[chosen])
    return ": ".join(one for one in (label, words) if one)
