"""Ways in: sign-in, the first set-up, the one-use link."""

from datetime import timedelta

import pytest
from django.contrib.auth import get_user
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from grower.links import make_link
from ledger.facts.models import DoorLink, Holding, User

PASSWORD = "teasel-and-honesty"
SET_UP = {
    "name": "Hollow Lane Flowers", "currency": "GBP", "time_zone": "UTC", "year_end_month": "12", "year_end_day": "31",
    "season_first_month": "1", "status": "none", "on": "2024-01-01", "username": "rowan", "password": PASSWORD,
}


def signed_in(client):
    """Whether the browser is signed in."""
    return get_user(client).is_authenticated


@pytest.mark.django_db
def test_the_set_up_link_makes_the_holding_and_its_owner():
    """The first visitor by the link sets the ledger up and is signed in."""
    address, client = reverse("set_up", args=[make_link("set_up", hours=1)]), Client()

    assert client.get(address).status_code == 200
    assert client.post(address, SET_UP).status_code == 302
    assert Holding.objects.get().name == "Hollow Lane Flowers"
    assert get_user(client) == User.objects.get(username="rowan", role="owner")


@pytest.mark.django_db
def test_the_set_up_link_works_once():
    """The second visitor by the same link finds it spent."""
    address = reverse("set_up", args=[make_link("set_up", hours=1)])
    Client().post(address, SET_UP)
    second = Client()

    assert second.post(address, {**SET_UP, "username": "intruder"}).status_code == 410
    assert not signed_in(second)
    assert not User.objects.filter(username="intruder").exists()


@pytest.mark.django_db
def test_a_refused_set_up_leaves_the_link_working():
    """A weak password is said on the form, which keeps what was typed; the link is not used up."""
    address, client = reverse("set_up", args=[make_link("set_up", hours=1)]), Client()
    page = client.post(address, {**SET_UP, "password": "short"})

    assert page.status_code == 422
    assert "Hollow Lane Flowers" in page.content.decode()
    assert client.post(address, SET_UP).status_code == 302


def test_the_set_up_link_is_dead_once_somebody_exists(owner):
    """However the first person came to be, nobody sets up after them."""
    address = reverse("set_up", args=[make_link("set_up", hours=1)])

    assert Client().get(address).status_code == 410
    assert Client().post(address, SET_UP).status_code == 410


@pytest.mark.django_db
def test_a_newer_set_up_link_replaces_the_older():
    """Only the link printed last works."""
    older = reverse("set_up", args=[make_link("set_up", hours=1)])
    newer = reverse("set_up", args=[make_link("set_up", hours=1)])

    assert Client().get(older).status_code == 410
    assert Client().get(newer).status_code == 200


def test_looking_at_a_sign_in_link_does_not_use_it(owner):
    """A preview of the link signs nobody in and uses nothing up."""
    address, client = reverse("come_in", args=[make_link("sign_in", hours=1, user=owner)]), Client()

    assert client.get(address).status_code == 200
    assert client.head(address).status_code == 200
    assert not signed_in(client)
    assert DoorLink.objects.get().used_at is None


def test_a_sign_in_link_lets_in_once_on_post(owner):
    """The button signs in; pressed again elsewhere it does not."""
    address, client, other = reverse("come_in", args=[make_link("sign_in", hours=1, user=owner)]), Client(), Client()

    assert client.post(address).status_code == 302
    assert get_user(client) == owner
    assert other.post(address).status_code == 410
    assert not signed_in(other)


def test_a_sign_in_link_ends_after_its_hour(owner):
    """A link found later lets nobody in."""
    address, client = reverse("come_in", args=[make_link("sign_in", hours=1, user=owner)]), Client()
    DoorLink.objects.update(expires=timezone.now() - timedelta(seconds=1))

    assert client.post(address).status_code == 410
    assert not signed_in(client)


def test_a_sign_in_link_is_no_set_up_link(owner):
    """A link serves its own purpose only."""
    token = make_link("sign_in", hours=1, user=owner)

    assert Client().get(reverse("set_up", args=[token])).status_code == 410


def test_only_the_hash_of_a_link_is_kept(owner):
    """Who reads the database cannot use its links."""
    token = make_link("sign_in", hours=1, user=owner)

    assert token not in DoorLink.objects.get().hashed


def test_signing_in_and_out(owner):
    """Name and password let in; signing out ends it."""
    client = Client()
    client.post(reverse("sign_in"), {"username": "owner", "password": PASSWORD})
    assert signed_in(client)

    client.post(reverse("sign_out"))
    assert not signed_in(client)


def test_wrong_passwords_lock_the_name_for_a_while(owner, settings):
    """After the limit even the right password is not tried."""
    client, wrong = Client(), {"username": "owner", "password": "wrong-and-wrong"}
    for _ in range(settings.AXES_FAILURE_LIMIT):
        page = client.post(reverse("sign_in"), wrong)
    assert page.status_code == 429
    assert "Wait an hour" in page.content.decode()

    client.post(reverse("sign_in"), {"username": "owner", "password": PASSWORD})
    assert not signed_in(client)


def test_one_who_may_no_longer_sign_in_is_out(owner, hand, client_as):
    """Taking the right away ends what is open."""
    client = client_as(hand)
    User.objects.filter(pk=hand.pk).update(is_active=False)

    assert client.get(reverse("today")).status_code == 302


def test_changing_ones_own_password(hand, client_as):
    """The old password once, the new one twice."""
    new = "statice-and-rye"
    sent = {"old_password": PASSWORD, "new_password1": new, "new_password2": new}

    assert client_as(hand).post(reverse("change_password"), sent).status_code == 302
    assert User.objects.get(pk=hand.pk).check_password(new)
