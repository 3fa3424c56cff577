"""Reading pages and filling in forms, as a person would."""

from typing import Any

from django.http import HttpResponse
from django.test import Client


def fill(client: Client, url: str, **typed: Any) -> HttpResponse:
    """Open a form and send it with what it already says and these fields."""
    form = client.get(url).context["form"]
    sent = {name: form[name].value() for name in form.fields if form[name].value() not in (None, False, [])}
    return client.post(url, {**sent, **typed})


def read(client: Client, url: str) -> str:
    """The words of a page that opens."""
    page = client.get(url)
    assert page.status_code == 200
    return page.content.decode()
