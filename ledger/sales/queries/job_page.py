"""What the page of a job shows of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Prefetch, QuerySet
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from ledger.sales.models import (
    Deposit,
    HireBack,
    HireOut,
    Invoice,
    Job,
    JobCancelled,
    JobPiece,
    Payment,
    PiecePart,
)
from ledger.stock.models import Line

from .job_needs import FRESH, LINE, MATERIAL, Need
from .job_sets import AGREED, ASKED
from .jobs import STATES
from .lacking import Other, alike


def stands_in_words(job: Any, on: date) -> str:
    """How a job (with its standing) stands on a day, in a sentence or two."""
    said = f"{STATES[job.stands_as]}.".capitalize()
    if job.stands_as not in (ASKED, AGREED):
        return said
    left = f" {_quote_in_words(job, on)}" if job.stands_as == ASKED and job.good_until_now else ""
    return f"{said} {_days_ahead(job, on)}{left}"


def _days_ahead(job: Any, on: date) -> str:
    days = (job.held_on_now - on).days
    if days < 0:
        return _("Its day was %(on)s, and it is neither done nor cancelled.") % {"on": date_format(job.held_on_now)}
    if days < 2:
        return _("Its day is tomorrow.") if days else _("Its day is today.")
    return _("Its day is in %(n)d days.") % {"n": days}


def _quote_in_words(job: Any, on: date) -> str:
    says = _("The quote ran out on %(on)s.") if job.good_until_now < on else _("The quote is good until %(on)s.")
    return says % {"on": date_format(job.good_until_now)}


def pieces_of(job: Job) -> QuerySet[JobPiece]:
    """Its standing pieces with their parts."""
    parts = PiecePart.objects.select_related("line__variety__species", "variety__species", "material")
    return job.pieces.standing().prefetch_related(Prefetch("parts", queryset=parts.order_by("pk"))).order_by("pk")


def part_in_words(part: PiecePart) -> str:
    """So much of one thing: “12 stems of Statice, Blue”."""
    if part.variety is not None:
        return ngettext("%(n)d fresh stem of %(what)s", "%(n)d fresh stems of %(what)s", part.quantity) % {
            "n": part.quantity, "what": part.variety,
        }
    if part.line is not None and part.line.stems is not None:
        return ngettext("%(n)d stem of %(what)s", "%(n)d stems of %(what)s", part.quantity) % {
            "n": part.quantity, "what": part.line,
        }
    if part.material is not None and part.material.unit != "pieces":
        return _("%(n)d %(unit)s of %(what)s") % {"n": part.quantity, "unit": part.material.get_unit_display(), "what": part}
    return _("%(n)d × %(what)s") % {"n": part.quantity, "what": part}


@dataclass(frozen=True)
class Needed:
    """One thing a job needs, with its unit in words, and lines that could stand in for what lacks of it."""

    need: Need
    unit: str
    others: Sequence[Other]

    @property
    def now(self) -> int:
        """How many bunches of what lacks one press would keep."""
        return min(self.need.free, self.need.lacking) if self.need.kind == LINE else 0


def with_fillings(needs: Iterable[Need]) -> list[Needed]:
    """Each need with what else could fill it: free lines of the same variety or family of colours."""
    needs = list(needs)
    lacking = any(one.kind == LINE and one.lacking > one.free for one in needs)
    lines = list(Line.objects.whole().with_free().filter(free__gt=0)) if lacking else []
    return [Needed(one, unit_of(one), _others(one, lines)) for one in needs]


def _others(need: Need, lines: Sequence[Line]) -> list[Other]:
    short = need.lacking - need.free
    if need.kind != LINE or short <= 0:
        return []
    return [Other(one, min(one.free, short)) for one in alike(need.what, lines)]  # type: ignore[attr-defined]


def unit_of(need: Need, n: int = 2) -> str:
    """What so many of a need are counted in."""
    if need.kind == LINE:
        return ngettext("bunch", "bunches", n) if need.what.unit == Line.Unit.BUNCH else ""
    if need.kind == MATERIAL:
        return str(need.what.get_unit_display())
    return ngettext("stem", "stems", n) if need.kind == FRESH else ""


@dataclass(frozen=True)
class HireRow:
    """What happened with a thing hired out: the day, in words, what it was charged (minor units), where to undo it."""

    on: date
    says: str
    charge: int
    undo: str


def hire_rows(job: Job) -> list[HireRow]:
    """What of its hires went out and came back, by day."""
    outs = HireOut.objects.standing().filter(hire__job=job, hire__undone_at=None).select_related("hire__item")
    backs = HireBack.objects.standing().filter(hire__job=job, hire__undone_at=None).select_related("hire__item")
    went = [HireRow(one.on, _went(one), 0, reverse("sales:undo_hire_out", args=[one.pk])) for one in outs.order_by("pk")]
    came = [
        HireRow(one.on, _came(one), one.charge, reverse("sales:undo_hire_back", args=[one.pk])) for one in backs.order_by("pk")
    ]
    return sorted([*went, *came], key=lambda row: row.on)


def _went(one: HireOut) -> str:
    return _("%(n)d × %(item)s went out") % {"n": one.quantity, "item": one.hire.item}


def _came(one: HireBack) -> str:
    said = [_("%(n)d × %(item)s back whole") % {"n": one.whole, "item": one.hire.item}] if one.whole else []
    if one.broken:
        said.append(_("%(n)d × %(item)s broken or lost") % {"n": one.broken, "item": one.hire.item})
    return ", ".join([*said, *([one.note] if one.note else [])])


def money_of(job: Job) -> dict[str, Any]:
    """Its deposits and what they were used on, what was charged, its invoices."""
    done = job.doings.standing().first()
    return {
        "deposits": list(_deposits(job)), "used": Payment.objects.standing().filter(deposit_of=job).select_related("invoice"),
        "charges": done.charges.order_by("pk") if done else [],
        "invoices": Invoice.objects.filter(job=job).with_owed().order_by("number"),
    }


def _deposits(job: Job) -> Iterator[Deposit]:
    """Each with `back` (given back, minor units) and whether it went with the cancelling."""
    with_cancelling = set(JobCancelled.objects.standing().filter(job=job).values_list("given_back", flat=True))
    for one in job.deposits.standing().order_by("on", "pk"):
        one.back, one.with_cancelling = -one.amount, one.pk in with_cancelling  # type: ignore[attr-defined]
        yield one
