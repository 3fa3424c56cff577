"""What the papers of a job show: the quoted sum with its tax, what to take from where, what to beware of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.facts.queries import rate_on_invoice, tax_rate_on, tax_status_on, today
from ledger.reckoning.tax import tax_on, tax_within
from ledger.sales.models import Job
from ledger.stock.models import Content, Hold, Line
from ledger.stock.queries.made_of import species_of
from ledger.stock.queries.seasons import season_made

from .job_needs import parts_of


@dataclass(frozen=True)
class Quoted:
    """A quoted sum in minor units, its tax (or a flat-rate farmer's addition) at a rate in hundredths of a per cent."""

    status: str
    number: str
    rate_bp: int
    net: int
    tax: int

    @property
    def gross(self) -> int:
        return self.net + self.tax

    @property
    def registered(self) -> bool:
        return self.status == "registered"

    @property
    def flat_rate(self) -> bool:
        """Whether what goes on top is a flat-rate farmer's addition, which is no tax."""
        return self.status == "flat_rate"


def quoted_sum(job: Job, amount: int, on: date) -> Quoted:
    """An amount as the job's way keeps prices, with the tax an invoice of that day would have: within it, or on top of it."""
    status = tax_status_on(on)
    said = (status.status, status.number) if status else ("none", "")
    if job.way.with_tax:
        rate = tax_rate_on(on)
        tax = tax_within(amount, rate)
        return Quoted(*said, rate, amount - tax, tax)
    rate = rate_on_invoice(on, job.customer.tax_number)
    return Quoted(*said, rate, amount, tax_on(amount, rate))


@dataclass(frozen=True)
class JobPick:
    """So many kept bunches of a line to be taken from one place (None: they are on no shelf, as far as the record says)."""

    line: Line
    content: Content | None
    bunches: int

    @property
    def shelf(self) -> tuple[bool, bool, str, str, int]:
        """By what the places are walked along: boxes by shelf and id, the unboxed after them, what is nowhere last."""
        box = self.content.box if self.content else None
        key = self.content.pk if self.content else 0
        return (self.content is None, box is None, box.shelf if box else "", box.code if box else "", key)


def job_picks(job: Job) -> list[JobPick]:
    """Where to take what a job's holds keep from, the oldest first, in the order of shelves; no box held back."""
    holds = Hold.objects.standing().filter(job_hold__job=job).with_kept().filter(kept__gt=0)
    kept = list(holds.select_related("line__variety__species").order_by("line", "pk"))
    places: dict[int, list[Content]] = defaultdict(list)
    offered = Content.objects.there().out_of_parcels().not_held_back(today())
    for content in offered.filter(batch__line__in=[hold.line_id for hold in kept]):
        places[content.batch.line_id].append(content)
    found = [pick for hold in kept for pick in _of_hold(hold, places[hold.line_id])]
    return sorted(found, key=lambda pick: pick.shelf)


def _of_hold(hold: Hold, places: Iterable[Content]) -> Iterator[JobPick]:
    left: int = hold.kept  # type: ignore[attr-defined]
    for content in places:
        if hold.season is not None and season_made(content.batch) != hold.season:
            continue
        taken = min(left, content.bunches)
        if taken:
            yield JobPick(hold.line, content, taken)
            left -= taken
    if left:
        yield JobPick(hold.line, None, left)


def cautions_of(job: Job) -> Sequence[tuple[str, str]]:
    """(species, its caution) of each poisonous or irritant species in a job's pieces, once, by name."""
    parts = list(parts_of(job).select_related("line", "variety__species"))
    species = {one.pk: one for one in species_of({part.line for part in parts if part.line})}
    species |= {part.variety.species_id: part.variety.species for part in parts if part.variety}
    named = sorted(species.values(), key=lambda one: (one.name, one.pk))
    return [(str(one), one.caution) for one in named if one.caution]
