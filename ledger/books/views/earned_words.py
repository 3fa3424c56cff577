"""What the bed-earnings page says in words: why nothing can be said, the rows of the bridge, the verdicts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.costing.queries.names import PLACES
from ledger.facts.printing import Money
from ledger.reckoning.verdicts import Account, Paid

from ..queries.places import PUT_RIGHT
from ..queries.verdict import Verdict

WHY_NOT = {
    "early": _("too early to say"),
    "hours": _("cannot say yet: no hours are entered"),
    "sales": _("cannot say yet: nothing of it is sold"),
    "nothing_taken": _("cannot say: it took none of what is scarce"),
    "too_few": _("too few stems to judge"),
}
STEPS = {
    "made-up goods' own cost": _("Other materials, work and selling of made-up goods and jobs, taken off their income above"),
    "sold before the year": _("Sold of them before the year began"),
    "sold after the year": _("Sold of them after the year"),
    "sold of other plantings": _("Sold in the year from plantings of other seasons"),
    "sold of in the plants": _("Sold in the year from plants not yet in season"),
    "sold of bought in": _("Sold in the year of what was bought in"),
    "untraced sales": _("Sales, hire and jobs that name nothing grown or bought in"),
    "credited on earlier years": _("Credited in the year on what was sent or done in earlier years (taken off those)"),
    "spent before the year": _("Spent on them before the year began"),
    "spent after the year": _("Spent on them after the year"),
    "spent on other plantings": _("Spent in the year on plantings of other seasons"),
    "spent on in the plants": _("Establishing cost: put into plants for later seasons, less what the seasons took (-)"),
    "spent on bought in": _("Spent in the year on what was bought in and on selling it"),
    "idle space": _("Beds and drying room that stood idle"),
    "charged ahead or behind": _("Bills for later years, and room charged ahead of its bills (-) or behind them"),
    "materials": _("Materials in store, more or less than before"),
    "overheads": _("Overheads, the store and all else not spent on a crop"),
    "paid, not booked": _("Paid, not booked"),
    "sold nothing": _("Orders, stall days, jobs and workshops that brought in nothing yet"),
    "untraced selling": _("Selling and own cost of what names nothing grown or bought in"),
    "not begun": _("Spent on what had not begun"),
}
HEADS = {
    Paid.BED_AND_WORK: _("paid the bed and the work"),
    Paid.WORK: _("paid the work, not the bed"),
    Paid.NEITHER: _("neither"),
    Paid.UNSAID: _("cannot say yet"),
}


@dataclass(frozen=True)
class Said:
    """A verdict in words."""

    of: Verdict
    head: Any
    reason: str
    sure: str


def place_words(place: str) -> str:
    """A place of the proof at the start of a row."""
    if place == PUT_RIGHT:
        return str(_("Earlier years put right"))
    words = str(PLACES.get(place, place))
    return words[:1].upper() + words[1:]


def said(one: Verdict, money: Money) -> Said:
    """A species' verdict, its reason and how sure it is."""
    return Said(one, HEADS[one.paid], _reason(one, money), _sure(one))


def _reason(one: Verdict, money: Money) -> str:
    if one.few:
        return str(WHY_NOT["too_few"]) + f": {one.of.most_stems}"
    if one.account is None:
        return str(WHY_NOT[one.of.missing])
    first = SENTENCES[one.paid] % _figures(one.account, money)
    if one.once_sold is one.paid:
        return first
    told = {"fetches": money.millionths(one.account.fetches), "paid": HEADS[one.once_sold]}
    return f"{first} {_('If the unsold fetch %(fetches)s as priced: %(paid)s.') % told}"


SENTENCES = {
    Paid.BED_AND_WORK: _("It brought in %(income)s and cost %(cost)s, bed and all: %(over)s over."),
    Paid.WORK: _(
        "It brought in %(income)s; all but the bed and drying room cost %(work)s, and these %(space)s more: %(short)s short."
    ),
    Paid.NEITHER: _(
        "It brought in %(income)s; all but the bed and drying room cost %(work)s already, and these %(space)s more: "
        "%(short)s short."
    ),
}


def _figures(account: Account, money: Money) -> dict[str, str | None]:
    found = {
        "income": account.income, "cost": account.cost, "work": account.cost - account.space, "space": account.space,
        "over": account.earned, "short": -account.earned,
    }
    return {name: money.millionths(amount) for name, amount in found.items()}


def _sure(one: Verdict) -> str:
    """How many seasons and plantings it rests on, whether they are final, how much is unsold, what is left out."""
    if one.account is None:
        return str(_("rests on nothing yet"))
    seasons, plantings = one.of.seasons, one.of.plantings
    final = all(part.of.final for part in one.of.can_say)
    words = [
        ngettext("%(n)d season", "%(n)d seasons", seasons) % {"n": seasons},
        ngettext("%(n)d planting", "%(n)d plantings", plantings) % {"n": plantings},
        str(_("final") if final else _("provisional")),
    ]
    if one.account.unsold:
        words.append(str(_("%(share)s %% of its cost unsold")) % {"share": f"{one.account.unsold_bp / 100:.0f}"})
    if one.left_out:
        words.append(str(_("%(n)d left out: cannot say yet")) % {"n": one.left_out})
    return ", ".join(words)
