"""The pages of jobs."""

from collections.abc import Callable
from datetime import date

from django.test import Client
from django.urls import reverse
from django.utils.formats import date_format

from ledger.facts.models import User
from ledger.sales.models import Job, JobPiece
from tests.factories.jobs import JobFactory
from tests.factories.sales import ready
from tests.sales.forms import fill

SignIn = Callable[[User], Client]


def page_of(client: Client, job: Job) -> str:
    """The words of a job's page."""
    return client.get(job.get_absolute_url()).content.decode()


def test_a_job_is_entered_and_its_page_says_how_it_stands(owner: User, client_as: SignIn) -> None:
    """From the question to the page."""
    before = JobFactory()
    client = client_as(owner)
    fill(
        client, reverse("sales:new_job"), name="Wedding at the mill", kind="wedding", customer=before.customer_id,
        way=before.way_id, held_on="2024-09-21", good_until="2024-08-31", on="2024-08-06",
    )

    page = page_of(client, Job.objects.latest("pk"))

    assert "Wedding at the mill" in page and f"Asked about; its day was {date_format(date(2024, 9, 21))}" in page


def test_a_piece_is_entered_with_its_parts_on_one_page(owner: User, client_as: SignIn) -> None:
    """Twelve stems and a vase in each of two bouquets at 45.00: two bunches of ten cover 24 stems, rounded up to three."""
    job, stock = JobFactory(), ready()
    client = client_as(owner)
    answer = fill(
        client, reverse("sales:add_piece", args=[job.pk]), name="Bouquet", quantity="2", price="45.00", minutes="30",
        dried_1=f"line-{stock.line.pk}", stems_1="12", bought_1="Vase", each_1="1", cost_1="3.50", on="2024-08-06",
    )
    assert answer.status_code == 302, answer.context["form"].errors

    piece = JobPiece.objects.get()
    assert [(part.line, part.bought, part.quantity, part.cost) for part in piece.parts.all()] == [
        (stock.line, "", 12, 0), (None, "Vase", 1, 350),
    ]
    page = page_of(client, job)
    assert "12 stems of" in page and "90.00" in page
