"""Filling in a page's form as a person does: what it shows, and what is typed over it."""

from typing import Any

from django.http import HttpResponse
from django.test import Client


def shown(client: Client, url: str) -> dict[str, Any]:
    """What the page's empty form would send: shown values, unticked boxes left out."""
    form = client.get(url).context["form"]
    return {name: value for name in form.fields if (value := form[name].value()) not in (None, False, "")}


def fill(client: Client, url: str, **typed: Any) -> HttpResponse:
    """Open a page, type into its form, press the button."""
    return client.post(url, {**shown(client, url), **typed})  # type: ignore[return-value]
