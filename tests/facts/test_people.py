"""The people of the holding."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from ledger.facts.actions import add_person, change_person
from ledger.facts.models import User
from tests.refusals import refused

PASSWORD = "teasel-and-honesty"


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("who", "may", "may_not"),
    [
        ("owner", "settings", "nothing of the kind"),
        ("hand", "field", "see_costs"),
        ("hand", "boxes", "see_takings"),
        ("seller", "prices", "see_costs"),
        ("bookkeeper", "see_costs", "field"),
    ],
)
def test_each_role_may_its_own_work_and_no_more(request, who, may, may_not):
    """The hand sees no money, the seller no costs, the bookkeeper enters nothing from the field."""
    person = request.getfixturevalue(who)

    assert person.may(may)
    assert not person.may(may_not)


def test_a_weak_password_is_refused(owner):
    """A new person's password is checked like anybody's."""
    with pytest.raises(ValidationError):
        add_person(by=owner, username="hand", password="1234567", role="hand")


def test_an_unknown_role_is_refused(owner):
    """A role is one of four."""
    with pytest.raises(ValidationError):
        add_person(by=owner, username="hand", password=PASSWORD, role="admiral")


def test_the_last_owner_stays_owner(owner, hand):
    """Somebody can always change the settings."""
    with refused("last_owner"):
        change_person(by=owner, person=owner, role="hand", is_active=True)
    with refused("last_owner"):
        change_person(by=owner, person=owner, role="owner", is_active=False)


def test_an_owner_may_go_once_there_is_another(owner, hand):
    """With a second owner the first may be changed."""
    change_person(by=owner, person=hand, role="owner", is_active=True)

    assert change_person(by=owner, person=owner, role="seller", is_active=True).role == "seller"


def test_a_forgotten_password_is_set_anew(owner, hand):
    """The owner can give another password; an empty one keeps the old."""
    change_person(by=owner, person=hand, role="hand", is_active=True)
    assert User.objects.get(pk=hand.pk).check_password(PASSWORD)

    change_person(by=owner, person=hand, role="hand", is_active=True, password="statice-and-rye")
    assert User.objects.get(pk=hand.pk).check_password("statice-and-rye")


def test_the_page_adds_a_person(owner, client_as):
    """The owner adds a person on a page and finds them in the list."""
    client = client_as(owner)
    key = client.get(reverse("facts:add_person")).context["form"]["form_key"].value()
    sent = {"form_key": key, "username": "rowan", "role": "seller", "password": PASSWORD}

    page = client.post(reverse("facts:add_person"), sent, follow=True)

    assert "rowan" in page.content.decode()
    assert User.objects.get(username="rowan").role == "seller"


def test_the_page_keeps_what_was_typed(owner, client_as):
    """A refused form says why on its field and keeps the rest."""
    sent = {"form_key": "k", "username": "rowan", "role": "seller", "password": "short"}

    page = client_as(owner).post(reverse("facts:add_person"), sent)

    assert page.status_code == 422
    assert 'value="rowan"' in page.content.decode()
    assert not User.objects.filter(username="rowan").exists()


@pytest.mark.django_db
@pytest.mark.parametrize("who", ["hand", "seller", "bookkeeper"])
def test_others_may_not_see_the_people_page(request, client_as, who):
    """Only the owner keeps the list of people."""
    page = client_as(request.getfixturevalue(who)).get(reverse("facts:people"))

    assert page.status_code == 403


def test_a_hand_may_not_add_people(hand):
    """Nor by the verb itself."""
    with pytest.raises(PermissionDenied):
        add_person(by=hand, username="rowan", password=PASSWORD, role="owner")
