"""Jobs with their pieces, hires and deposits, workshops, and what was taken for both."""

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.sales.actions import (
    Part,
    add_hire_item,
    add_piece,
    agree_job,
    bring_bunches_back,
    bring_hire_back,
    bring_stems_back,
    call_off,
    cancel_job,
    change_job,
    change_piece,
    count_hire_item,
    do_job,
    free_from_job,
    give_back_deposit,
    give_places_back,
    hold_workshop,
    keep_for_job,
    offer_workshop,
    open_job,
    plan_hire,
    sell_places,
    send_out,
    take_bunches_for,
    take_deposit,
    take_stems_for,
)
from ledger.sales.models import CameBack, HireItem, HireItemCount, Job, JobHold, JobPiece, Sale, Taken, Workshop
from ledger.stock.models import Batch, Box, Line

from ..columns import Day, Key, Money, OneOf, Ref, Whole, Words, Year, YesNo
from ..rows import Kind


def _part(**given: Any) -> Part:
    return Part(**given)


def _changed(
    *, by: User, piece: JobPiece, on: date, quantity: int | None = None, price: int | None = None, minutes: int | None = None,
) -> JobPiece:
    """The piece as it stands, with what is said of it anew."""
    parts = [
        Part(quantity=one.quantity, line=one.line, variety=one.variety, material=one.material, bought=one.bought, cost=one.cost)
        for one in piece.parts.all()
    ]
    return change_piece(
        by=by, piece=piece, on=on, name=piece.name, quantity=piece.quantity if quantity is None else quantity,
        price=piece.price if price is None else price, minutes=piece.minutes if minutes is None else minutes, parts=parts,
        note=piece.note,
    )


def _count(*, by: User, item: HireItem, on: date, more: int = 0, fewer: int = 0, why: str = "") -> HireItemCount:
    return count_hire_item(by=by, item=item, on=on, more=more - fewer, why=why)


def _freed(*, by: User, job: Job, line: Line, on: date, bunches: int) -> JobHold:
    kept = job.holds.filter(line=line).first()
    if kept is None:
        raise refusal("line", _("Nothing of it is kept for that job."), code="not_kept")
    return free_from_job(by=by, job_hold=kept, on=on, bunches=bunches)


def _take(
    *, by: User, on: date, quantity: int, job: Job | None = None, workshop: Workshop | None = None, line: Line | None = None,
    lot: Any = None, box: Box | None = None, batch: Batch | None = None,
) -> Taken:
    work = _which(job, workshop)
    if (line is None) == (lot is None):
        raise refusal("line", _("Name either a bunch line or a harvest lot."), code="dried_or_fresh")
    if line is not None:
        return take_bunches_for(by=by, work=work, on=on, line=line, bunches=quantity, box=box, batch=batch)
    return take_stems_for(by=by, work=work, on=on, lot=lot, stems=quantity)


def _which(job: Job | None, workshop: Workshop | None) -> Job | Workshop:
    found = job or workshop
    if found is None or (job and workshop):
        raise refusal("job", _("Name either a job or a workshop."), code="job_or_workshop")
    return found


def _back(*, by: User, taken: Taken, on: date, quantity: int, box: Box | None = None) -> CameBack | Taken:
    if taken.line is None:
        return bring_stems_back(by=by, taken=taken, stems=quantity)
    return bring_bunches_back(by=by, taken=taken, on=on, bunches=quantity, box=box)


HIRE_ITEMS = (
    Kind(
        "hire_items", "selling", _("things to hire out"), add_hire_item,
        (
            Key("key"), Words("name"), Money("charge", about=_("for one")), Money("breakage", about=_("for one broken or lost")),
            Whole("owned", required=False), Day("on", required=False, about=_("since when that many")),
            Words("note", required=False),
        ),
    ),
)

KINDS = (
    Kind(
        "hire_item_counts", "selling", _("more or fewer things to hire out"), _count,
        (
            Ref("item", to="hire_items"), Day("on"), Whole("more", required=False), Whole("fewer", required=False),
            Words("why", required=False),
        ),
    ),
    Kind(
        "jobs", "selling", _("jobs asked about"), open_job,
        (
            Key("key"), Day("on"), Words("name"), OneOf("kind", words=tuple(Job.Kind.values)), Ref("customer", to="customers"),
            Ref("way", to="ways"), Day("held_on"), Day("good_until", required=False), Words("note", required=False),
        ),
    ),
    Kind(
        "job_changes", "selling", _("the day of a job said anew"), change_job,
        (Ref("job", to="jobs"), Day("on"), Day("held_on"), Day("good_until", required=False), Words("note", required=False)),
    ),
    Kind(
        "job_pieces", "selling", _("pieces of a job"), add_piece,
        (
            Key("key"), Ref("job", to="jobs"), Day("on"), Words("name"), Whole("quantity"), Money("price", about=_("of one")),
            Whole("minutes", required=False, about=_("of work on one")), Words("note", required=False),
        ),
        parts={"parts": "piece_parts"},
    ),
    Kind(
        "piece_parts", "selling", _("what is in one of a piece"), _part,
        (
            Ref("piece", to="job_pieces"), Ref("line", to="lines", required=False, about=_("by stems, where bunched by stems")),
            Ref("variety", to="varieties", required=False, about=_("fresh stems")),
            Ref("material", to="materials", required=False), Words("bought", required=False, about=_("something bought in")),
            Money("cost", required=False, about=_("of one bought in, net")), Whole("quantity"),
        ),
        part_of="piece",
    ),
    Kind(
        "piece_changes", "selling", _("pieces changed"), _changed,
        (
            Key("key"), Ref("piece", to="job_pieces"), Day("on"), Whole("quantity", required=False),
            Money("price", required=False), Whole("minutes", required=False),
        ),
    ),
    Kind(
        "job_hires", "selling", _("things hired out with a job"), plan_hire,
        (
            Key("key"), Ref("job", to="jobs"), Day("on"), Ref("item", to="hire_items"), Whole("quantity"), Day("first_day"),
            Day("last_day"), Money("price", required=False, about=_("of one; empty: as the thing says")),
            Money("breakage", required=False, about=_("for one broken; empty: as the thing says")),
        ),
    ),
    Kind("jobs_agreed", "selling", _("jobs agreed to"), agree_job, (Ref("job", to="jobs"), Day("on"))),
    Kind(
        "deposits", "selling", _("paid ahead for a job"), take_deposit,
        (Ref("job", to="jobs"), Day("on"), Money("amount"), Words("how", required=False)),
    ),
    Kind(
        "deposits_back", "selling", _("paid ahead and given back"), give_back_deposit,
        (Ref("job", to="jobs"), Day("on"), Money("amount"), Words("how", required=False)),
    ),
    Kind(
        "job_keeps", "selling", _("bunches kept for a job"), keep_for_job,
        (Ref("job", to="jobs"), Day("on"), Ref("line", to="lines"), Whole("bunches"), Year("season", required=False)),
    ),
    Kind(
        "job_keeps_freed", "selling", _("bunches kept for a job and given back"), _freed,
        (Ref("job", to="jobs"), Day("on"), Ref("line", to="lines"), Whole("bunches")),
    ),
    Kind("workshops", "selling", _("workshops offered"), offer_workshop, (
        Key("key"), Day("on"), Words("name"), Ref("way", to="ways"), Day("held_on"), Whole("places"),
        Money("price", about=_("of a place")), Words("note", required=False),
    )),
    Kind("places_sold", "selling", _("places of a workshop sold"), sell_places, (
        Key("key"), Ref("workshop", to="workshops"), Day("on"), Whole("places"), Money("price", required=False),
        Ref("customer", to="customers", required=False), Words("who", required=False),
        OneOf("paid", required=False, words=tuple(Sale.Paid.values), about=_("empty: cash")),
    )),
    Kind("places_given_back", "selling", _("places of a workshop given back"), give_places_back, (
        Ref("sold", to="places_sold"), Day("on"), Whole("places"), Money("returned"),
    )),
    Kind(
        "taken_for_work", "selling", _("bunches or fresh stems taken for a job or a workshop"), _take,
        (
            Key("key"), Ref("job", to="jobs", required=False), Ref("workshop", to="workshops", required=False), Day("on"),
            Ref("line", to="lines", required=False), Ref("lot", to="lots", required=False),
            Ref("batch", to="run_outputs", required=False, about=_("empty: the oldest first")), Whole("quantity"),
            Ref("box", to="boxes", required=False),
        ),
    ),
    Kind(
        "back_from_work", "selling", _("what came back from a job or a workshop"), _back,
        (Ref("taken", to="taken_for_work"), Day("on"), Whole("quantity"), Ref("box", to="boxes", required=False)),
    ),
    Kind(
        "hires_out", "selling", _("hired things that left"), send_out,
        (Ref("hire", to="job_hires"), Day("on"), Whole("quantity")),
    ),
    Kind(
        "hires_back", "selling", _("hired things that came back"), bring_hire_back,
        (
            Ref("hire", to="job_hires"), Day("on"), Whole("whole"), Whole("broken", required=False, about=_("or lost")),
            Money("charge", required=False, about=_("for those; empty: as the hire says")), Words("note", required=False),
        ),
    ),
    Kind("jobs_done", "selling", _("jobs done"), do_job, (Ref("job", to="jobs"), Day("on"))),
    Kind(
        "jobs_cancelled", "selling", _("jobs cancelled"), cancel_job,
        (
            Ref("job", to="jobs"), Day("on"), Money("kept", required=False, about=_("of what was paid ahead")),
            YesNo("taxed", required=False), Words("why", required=False),
        ),
    ),
    Kind("workshops_held", "selling", _("workshops held"), hold_workshop, (Ref("workshop", to="workshops"), Day("on"))),
    Kind(
        "workshops_called_off", "selling", _("workshops called off"), call_off,
        (Ref("workshop", to="workshops"), Day("on"), Words("why", required=False)),
    ),
)
