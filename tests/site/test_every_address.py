"""Every address of the site, found by walking the resolver."""

import re
from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLPattern, get_resolver

OPEN_DOORS = {"sign_in", "set_up", "come_in"}
CONVERTED = {"int": "1", "str": "x", "slug": "x", "path": "x", "uuid": "00000000-0000-4000-8000-000000000000"}


def addresses(patterns=None, before: str = "/") -> Iterator[tuple[str, str]]:
    """Each address with its name, its parts filled in."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        route = before + re.sub(r"<(?:(\w+):)?\w+>", lambda found: CONVERTED[found[1] or "str"], str(pattern.pattern))
        if isinstance(pattern, URLPattern):
            yield route, pattern.name or ""
        else:
            yield from addresses(pattern.url_patterns, route)


CLOSED = [route for route, name in addresses() if name not in OPEN_DOORS]


def test_the_walk_finds_every_stage():
    """Each stage of the path has addresses."""
    first = {route.split("/")[1] for route in CLOSED}

    assert {"holding", "daybook", "growing", "drying", "stock", "costs", "pricing", "sales", "books"} <= first


@pytest.mark.parametrize("route", CLOSED)
def test_a_stranger_is_sent_to_sign_in(holding, route):
    """Nothing but the doors opens without signing in, by GET or by POST."""
    for answer in (Client().get(route), Client().post(route)):
        assert answer.status_code == 302
        assert answer.url.startswith("/sign-in/")


@pytest.mark.parametrize("route", CLOSED)
def test_no_page_breaks_on_an_empty_ledger(owner, client_as, route):
    """Every page opens, forwards, is not there or not allowed; none breaks."""
    assert client_as(owner).get(route).status_code in {200, 302, 403, 404, 405, 410, 422}
