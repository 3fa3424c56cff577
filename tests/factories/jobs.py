"""Jobs, made by the stage's own verbs."""

from datetime import date

import factory

from ledger.sales import actions
from ledger.sales.models import Job, JobDone, JobHold, JobPiece

from .drying import ByOwner, owner
from .pricing import StallFactory
from .sales import CustomerFactory, Ready

ASKED_ABOUT, AGREED, KEPT = date(2024, 8, 5), date(2024, 8, 12), date(2024, 8, 20)
HELD, OVER = date(2024, 9, 14), date(2024, 9, 15)


class JobFactory(ByOwner):
    """A wedding on 14 September 2024, asked about on 5 August, quoted by a way whose prices are with tax."""

    class Meta:
        model = Job

    on = ASKED_ABOUT
    name = factory.Sequence(lambda n: f"Wedding {n}")
    kind = "wedding"
    customer = factory.SubFactory(CustomerFactory)
    way = factory.SubFactory(StallFactory)
    held_on = HELD
    _act = staticmethod(actions.open_job)


class PieceFactory(ByOwner):
    """Two bouquets at 45.00 each, an hour's work on one; without parts."""

    class Meta:
        model = JobPiece

    job = factory.SubFactory(JobFactory)
    on = ASKED_ABOUT
    name = "bouquet"
    quantity = 2
    price = 4500
    minutes = 60
    _act = staticmethod(actions.add_piece)


def piece_of(job: Job, stock: Ready, stems: int, *, quantity: int = 2, price: int = 4500) -> JobPiece:
    """So many of a piece that each take so many stems of the one line."""
    return PieceFactory(job=job, quantity=quantity, price=price, parts=[actions.Part(stems, line=stock.line)])


def kept_for(job: Job, stock: Ready, bunches: int, *, on: date = KEPT) -> JobHold:
    """So many of the one line kept for a job."""
    return actions.keep_for_job(by=owner(), job=job, on=on, line=stock.line, bunches=bunches)


def deposited(job: Job, amount: int, *, on: date = AGREED) -> None:
    """So much paid ahead, minor units."""
    actions.take_deposit(by=owner(), job=job, on=on, amount=amount)


def job_done(job: Job, *, on: date = HELD) -> JobDone:
    """The job, done on its day."""
    return actions.do_job(by=owner(), job=job, on=on)
