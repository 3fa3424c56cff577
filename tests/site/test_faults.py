"""Faults of the program: the page, its number and the log."""

import logging
import re

import pytest
from django.test import Client
from django.urls import reverse

from grower import today
from grower.faults import Numbered


@pytest.fixture
def broken(monkeypatch):
    """Today breaks."""

    def break_down(*_):
        raise RuntimeError("a stem snapped")

    monkeypatch.setattr(today, "notes", break_down)


def test_the_page_and_the_log_share_a_number(owner, broken, client_as, caplog):
    """What people read out finds the line in the log."""
    client = client_as(owner)
    client.raise_request_exception = False

    page = client.get(reverse("today"))
    number = re.search(r"<strong>([0-9A-F]{6})</strong>", page.content.decode())[1]
    logged = next(one for one in caplog.records if one.levelno == logging.ERROR)
    Numbered().filter(logged)

    assert page.status_code == 500
    assert logged.fault == number
    assert "a stem snapped" in logged.exc_text or "a stem snapped" in str(logged.exc_info[1])


def test_the_page_tells_no_secrets(owner, broken, client_as):
    """What broke is for the log only."""
    client = client_as(owner)
    client.raise_request_exception = False

    assert "a stem snapped" not in client.get(reverse("today")).content.decode()


def test_a_record_without_a_request_has_no_number():
    """Other lines of the log keep the same shape."""
    record = logging.LogRecord("x", logging.ERROR, "x", 1, "x", (), None)
    Numbered().filter(record)

    assert record.fault == "-"


def test_a_form_gone_stale_says_so(holding):
    """A form without its token is refused with a sentence."""
    page = Client(enforce_csrf_checks=True).post(reverse("sign_in"), {"username": "owner"})

    assert page.status_code == 403
    assert "Nothing was recorded" in page.content.decode()
