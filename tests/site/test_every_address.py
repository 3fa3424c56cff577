"""Every address of the site, found by walking the resolver."""

import re
from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

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
PARTS = sorted({route.split("/")[1] for route in CLOSED})
FINE = {200, 302, 403, 404, 405, 410, 422}


def of_part(part):
    """The closed addresses whose first word it is."""
    return [route for route in CLOSED if route.split("/")[1] == part]


def sent_to_sign_in(answer):
    """Whether the answer sends to the door."""
    return answer.status_code == 302 and answer.url.startswith("/sign-in/")


def test_the_walk_finds_every_stage():
    """Each stage of the path has addresses."""
    assert {"holding", "daybook", "growing", "drying", "stock", "costs", "pricing", "sales", "books"} <= set(PARTS)


@pytest.mark.parametrize("part", PARTS)
def test_a_stranger_is_sent_to_sign_in(holding, part):
    """Nothing but the doors opens without signing in, by GET or by POST."""
    stranger = Client()

    assert [route for route in of_part(part) if not sent_to_sign_in(stranger.get(route))] == []
    assert [route for route in of_part(part) if not sent_to_sign_in(stranger.post(route))] == []


@pytest.mark.parametrize("part", PARTS)
def test_no_page_breaks_on_an_empty_ledger(owner, client_as, part):
    """Every page opens, forwards, is not there or not allowed; none breaks."""
    client = client_as(owner)
    client.raise_request_exception = False

    assert {route: code for route in of_part(part) if (code := client.get(route).status_code) not in FINE} == {}


@pytest.mark.django_db
@pytest.mark.parametrize("who", ["hand", "seller", "bookkeeper"])
def test_no_page_breaks_for_any_role(request, client_as, who):
    """What a role may not see is refused with a page, never with a fault."""
    client = client_as(request.getfixturevalue(who))
    client.raise_request_exception = False

    assert {route: code for route in CLOSED if (code := client.get(route).status_code) not in FINE} == {}


@pytest.mark.django_db
@pytest.mark.parametrize("who", ["hand", "seller", "bookkeeper"])
def test_the_way_leads_each_role_only_where_it_may_go(request, client_as, who):
    """No link of the way through is refused to the one it is shown to."""
    client = client_as(request.getfixturevalue(who))
    way = client.get(reverse("today")).context["way"]
    shown = [link.url for stage in (*way["stem"], *way["beside"]) for link in stage.links]

    assert len(shown) > 5
    assert [url for url in shown if client.get(url).status_code != 200] == []
