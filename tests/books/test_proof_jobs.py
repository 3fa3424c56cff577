"""The proof of jobs, deposits, hires and workshops: a row broken behind the ledger's back is named."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.db.models import Model
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from ledger.books.queries.proof_jobs import job_differences
from ledger.facts.models import User
from ledger.sales import actions
from ledger.sales.models import (
    CameBack,
    CameBackRow,
    Deposit,
    HireOut,
    Job,
    JobCancelled,
    JobCharge,
    JobFreed,
    JobHire,
    JobHold,
    JobLetGo,
    JobPiece,
    Payment,
    PlacesGivenBack,
    PlacesSold,
    Taken,
    TakenRow,
    Workshop,
    WorkshopCalledOff,
    WorkshopHeld,
)
from ledger.stock.models import HoldChange, Movement
from tests.factories.growing import LotFactory
from tests.factories.jobs import AGREED, HELD, KEPT, OVER, JobFactory, deposited, job_done, kept_for, piece_of
from tests.factories.sales import ready
from tests.factories.workshops import HELD as WORKSHOP_DAY
from tests.factories.workshops import HireFactory, WorkshopFactory
from tests.flushing import without_guards

DAY = timedelta(1)


@dataclass
class Work:
    """One job done and billed in part by its deposit, one cancelled, a workshop held and one called off."""

    done: Job
    cancelled: Job
    held: Workshop
    off: Workshop


@pytest.fixture
def work(owner: User) -> Work:
    """With bunches and stems taken, some back; jars out, back and broken; places sold and given back."""
    return Work(_done(owner), _cancelled(owner), *_workshops(owner))


def _done(owner: User) -> Job:
    stock, job = ready(30), JobFactory()
    piece_of(job, stock, 35)
    hire = HireFactory(job=job)
    kept_for(job, stock, 8)
    deposited(job, 9000)
    actions.give_back_deposit(by=owner, job=job, on=KEPT, amount=3000)
    taken = actions.take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)
    actions.take_stems_for(by=owner, work=job, on=HELD, lot=LotFactory(stems=50), stems=20)
    actions.bring_bunches_back(by=owner, taken=taken, on=OVER, bunches=2, box=stock.box)
    actions.send_out(by=owner, hire=hire, on=HELD, quantity=10)
    actions.bring_hire_back(by=owner, hire=hire, on=OVER, whole=9, broken=1)
    job_done(job)
    actions.invoice_job(by=owner, job=job, on=OVER)
    return job


def _cancelled(owner: User) -> Job:
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 35)
    kept_for(job, stock, 7)
    deposited(job, 5000)
    actions.cancel_job(by=owner, job=job, on=KEPT, kept=2000)
    return job


def _workshops(owner: User) -> list[Workshop]:
    held, off = WorkshopFactory(), WorkshopFactory()
    for workshop in (held, off):
        sold = actions.sell_places(by=owner, workshop=workshop, on=WORKSHOP_DAY - DAY, places=3)
        actions.give_places_back(by=owner, sold=sold, on=WORKSHOP_DAY, places=1, returned=4500)
    actions.take_bunches_for(by=owner, work=held, on=WORKSHOP_DAY, line=ready(9).line, bunches=4)
    actions.hold_workshop(by=owner, workshop=held, on=WORKSHOP_DAY)
    actions.call_off(by=owner, workshop=off, on=WORKSHOP_DAY)
    return [held, off]


def found() -> list[str]:
    """The differences of jobs and workshops."""
    return list(job_differences())


def undone(owner: User) -> dict[str, Any]:
    """A fact undone behind the ledger's back."""
    return {"undone_at": timezone.now(), "undone_by": owner}


def change(model: type[Model], to: dict[str, Any], **which: Any) -> int:
    """Change the one row; return its key."""
    without_guards(model)
    pk = model._base_manager.get(**which).pk
    model._base_manager.filter(pk=pk).update(**to)
    return int(pk)


def test_all_that_verbs_did_proves(work: Work) -> None:
    """Before anything is broken there is nothing to tell."""
    assert found() == []


CHANGED: list[tuple[str, type[Model], dict[str, Any], dict[str, Any], str]] = [
    ("quantity", Taken, {"quantity": 7}, {"quantity": 6}, "taken {pk}: 7 bunches taken, 6 left the stock book"),
    ("stems", Taken, {"quantity": 21}, {"quantity": 20}, "taken {pk}: parting"),
    ("day", Taken, {"on": HELD - DAY}, {"quantity": 6}, "taken {taken}: movement"),
    ("back", CameBack, {"quantity": 3}, {}, "came back {pk}: 3 bunches back, 2 came into the stock book"),
    ("day back", CameBack, {"on": date(2024, 9, 16)}, {}, "came back {pk}: movement"),
    ("let go", HoldChange, {"bunches": -1}, {"why": "released", "job_let_go__isnull": False}, "job hold {hold}: 1 kept though"),
    ("used", HoldChange, {"bunches": -7}, {"why": "used"}, "job hold {hold}: 7 used of it, 6 taken"),
    ("paid ahead", Deposit, {"amount": 5000}, {"amount": 9000}, "job {done}:"),
    ("too early", Deposit, {"on": AGREED - DAY}, {"amount": -3000, "cancelling": None}, "job {done}: 3000 more of its deposits"),
    ("kept", JobCancelled, {"kept": 2001}, {}, "job {cancelled}: 1 more of its deposits given back, used and kept"),
    ("given back", JobCancelled, {"on": OVER}, {}, "job cancelled {pk}: what was given back is not of its job or day"),
    ("charged", JobCharge, {"price": 4501}, {"piece__isnull": False}, "job charge {pk}: not what its piece says"),
    ("hired", JobCharge, {"quantity": 9}, {"hire__isnull": False}, "job charge {pk}: not what its hire says"),
    ("piece", JobPiece, {"quantity": 3}, {"charges__isnull": False}, "job charge"),
    ("out", HireOut, {"quantity": 9}, {}, "hire {hire}: 1 more back than out by 2024-09-15"),
    ("out late", HireOut, {"on": OVER + DAY}, {}, "hire {hire}: 10 more back than out by 2024-09-15"),
    ("offered", Workshop, {"places": 2}, {"holdings__isnull": False}, "workshop {held}: 1 more places sold than offered"),
    ("returned", PlacesGivenBack, {"returned": 13501}, {"sold__workshop__holdings__isnull": False}, "places sold"),
    ("places back", PlacesGivenBack, {"places": 4}, {"sold__workshop__holdings__isnull": False}, "places sold"),
    ("called off", PlacesSold, {"places": 4}, {"workshop__called_off__isnull": False}, "workshop {off}: called off with 4"),
]


@pytest.mark.unproved
@pytest.mark.parametrize(
    ("model", "to", "which", "says"), [pytest.param(*case[1:], id=case[0]) for case in CHANGED]
)
def test_a_changed_row_is_named(work: Work, model: type[Model], to: dict[str, Any], which: dict[str, Any], says: str) -> None:
    """With its number and what is wrong with it."""
    pk = change(model, to, **which)
    names = {
        "pk": pk, "done": work.done.pk, "cancelled": work.cancelled.pk, "held": work.held.pk, "off": work.off.pk,
        "taken": Taken.objects.get(job=work.done, line__isnull=False).pk, "hold": work.done.holds.get().pk,
        "hire": work.done.hires.get().pk,
    }
    assert any(one.startswith(says.format(**names)) for one in found()), found()


FALLEN: list[tuple[str, type[Model], dict[str, Any], str]] = [
    ("job", Job, {"said_anew": None, "doings__isnull": False}, "its job is undone"),
    ("taking", Taken, {"job__isnull": False, "line__isnull": False}, "does not stand as it does"),
    ("its movement", Movement, {"taken_row__taken__job__isnull": False}, "does not stand as it does"),
    ("coming back", CameBack, {}, "does not stand as it does"),
    ("used", HoldChange, {"why": "used"}, "does not stand as it does"),
    ("let go", HoldChange, {"job_let_go__isnull": False}, "does not stand as the job's end does"),
    ("freed", HoldChange, {"job_freed__isnull": False}, "does not stand as the job's end does"),
    ("given back", Deposit, {"cancelling__isnull": False}, "what was given back does not stand as it does"),
    ("piece", JobPiece, {"charges__isnull": False}, "not what its piece says"),
    ("hire", JobHire, {}, "its hire is undone"),
    ("calling off", WorkshopCalledOff, {}, "do not stand as the calling off does"),
]


@pytest.mark.unproved
@pytest.mark.parametrize(("model", "which", "says"), [pytest.param(*case[1:], id=case[0]) for case in FALLEN])
def test_a_fact_that_fell_alone_is_told(
    owner: User, work: Work, model: type[Model], which: dict[str, Any], says: str
) -> None:
    """What rests on it stands, or the other way round."""
    change(model, undone(owner), **which)
    assert any(says in one for one in found()), found()


@pytest.mark.unproved
def test_a_charge_that_is_missing_or_there_twice_is_told(work: Work) -> None:
    """Each piece of a job done is charged once."""
    piece = JobPiece.objects.get(job=work.done)
    charge = JobCharge.objects.get(piece=piece)
    charge.pk, charge._state.adding = None, True
    charge.save()
    assert found() == [f"piece {piece.pk}: charged 2 times though its job is done"]
    JobCharge.objects.filter(piece=piece, invoice_lines__isnull=True).delete()
    assert found() == []
    JobCharge.objects.filter(piece=piece).update(piece=JobPiece.objects.get(job=work.cancelled))
    assert f"piece {piece.pk}: charged 0 times though its job is done" in found()


@pytest.mark.unproved
def test_a_job_both_done_and_cancelled_is_told(owner: User, work: Work) -> None:
    """And a workshop both held and called off."""
    JobCancelled.objects.create(job=work.done, on=OVER, recorded_at=timezone.now(), recorded_by=owner)
    assert found() == [f"job {work.done.pk}: both done and cancelled"]
    WorkshopHeld.objects.create(workshop=work.off, on=WORKSHOP_DAY, recorded_at=timezone.now(), recorded_by=owner)
    assert found()[-1] == f"workshop {work.off.pk}: both held and called off"


@pytest.mark.unproved
def test_what_is_of_another_job_is_told(work: Work) -> None:
    """A hold used, a hold of another line, a deposit on another's invoice."""
    payment = Payment.objects.get(deposit_of=work.done)
    Payment.objects.update(deposit_of=work.cancelled)
    assert f"payment {payment.pk}: a deposit of job {work.cancelled.pk} on an invoice that is not its own" in found()
    Payment.objects.update(deposit_of=work.done)

    JobHold.objects.filter(job=work.done).update(line=ready(1).line)
    assert found() == [f"job hold {work.done.holds.get().pk}: it keeps another line"]
    JobHold.objects.filter(job=work.done).update(line=Taken.objects.get(used__isnull=False).line)
    assert found() == []

    Taken.objects.filter(used__isnull=False).update(job=work.cancelled)
    assert any("of another job's hold or line" in one for one in found())


@pytest.mark.unproved
def test_what_the_end_gave_back_of_another_job_is_told(work: Work) -> None:
    """Each end gives back its own."""
    freed, let_go = JobFreed.objects.get(), JobLetGo.objects.get()
    JobFreed.objects.update(change=let_go.change)
    assert found() == [f"job freed {freed.pk}: of another job's hold, or does not stand as the job's end does"]


@pytest.mark.unproved
def test_rows_of_the_stock_book_that_are_missing_or_of_another_taking_are_told(work: Work) -> None:
    """A taking without its rows; a coming back that brings back what another taking took."""
    other = TakenRow.objects.get(taken__workshop=work.held)
    back = CameBackRow.objects.get()
    without_guards(Movement)
    Movement.objects.filter(pk=back.movement_id).update(brings_back=other.movement)
    assert found() == [
        f"came back {back.came_back_id}: movement {back.movement_id} is of another taking or day, or does not stand as it does"
    ]
    other.delete()
    assert f"taken {other.taken_id}: 4 bunches taken, 0 left the stock book" in found()


def test_the_proof_asks_as_much_however_many_jobs_there_are(owner: User, work: Work) -> None:
    """A fixed number of statements."""
    asked = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as queries:
            assert found() == []
        asked.append(len(queries))
        _done(owner)
        _cancelled(owner)
    assert asked[0] == asked[1]
