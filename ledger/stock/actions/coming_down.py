"""Bunches that were hung as bunches and come down as bunches."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.drying.actions import take_down
from ledger.drying.models import Hanging
from ledger.facts.models import User
from ledger.facts.writing import action, refusal
from ledger.stock.models import Box, Line, Run

from .bunching import make_run
from .outputs import Output


@action("boxes")
def bring_down_bunches(
    *, by: User, on: date, hanging: Hanging, line: Line, bunches: int, losses: Mapping[str, int] | None = None,
    box: Box | None = None,
) -> Run:
    """Take bunches of a hanging down and make the batch of them at once; `losses` are stems by reason."""
    if hanging.bunch_stems is None:
        raise refusal("hanging", _("It was not hung as bunches. Take it down, then bunch it."), code="not_bunches")
    if line.stems != hanging.bunch_stems:
        raise refusal(
            "line", _("It was hung in bunches of %(stems)d stems."), code="other_size", stems=hanging.bunch_stems
        )
    if bunches < 1:
        raise refusal("bunches", _("Give at least one."), code="too_few")
    lost = {reason: stems for reason, stems in (losses or {}).items() if stems}
    sound = bunches * hanging.bunch_stems
    take_down(by=by, hanging=hanging, on=on, stems=sound + sum(lost.values()), losses=lost)
    return make_run(by=by, on=on, inputs=[(hanging, sound)], outputs=[Output(line, bunches, box=box)])
