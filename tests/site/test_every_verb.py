"""Every verb's page of the site: the second press, and whose key it is."""

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.actions import add_person
from ledger.facts.forms import VerbForm
from ledger.facts.models import FormKey, LedgerState, User
from tests.conftest import PASSWORD
from tests.walking import Press, VerbPage, filled, first_that_works, taken_back, verb_pages

pytestmark = pytest.mark.django_db
PAGES = sorted(verb_pages(), key=lambda page: page.name)
STAGES = sorted({page.name.split(":")[0] for page in PAGES})


def of_stage(stage: str) -> list[VerbPage]:
    """The verbs of one stage."""
    return [page for page in PAGES if page.name.startswith(f"{stage}:")]


def page_of(name: str) -> VerbPage:
    """The page of that name."""
    return next(page for page in PAGES if page.name == name)


def second_press(client: Client, page: VerbPage) -> str:
    """What is wrong with pressing twice; nothing when the first result comes again and nothing is written."""
    pressed = first_that_works(client, page)
    if isinstance(pressed, str):
        return pressed
    before = (LedgerState.objects.get().token, FormKey.objects.count())
    again = client.post(pressed.url, pressed.sent)
    if again.status_code != 302 or again.url != pressed.answer.url:
        return f"{again.status_code} {again.context['form'].errors.as_json() if again.context else again.headers}"
    return "" if before == (LedgerState.objects.get().token, FormKey.objects.count()) else "written twice"


@pytest.mark.parametrize("stage", STAGES)
def test_the_second_press_of_any_button_counts_once(plenty, signed_in, stage):
    """Pressed twice, or again because the answer was lost: the first result, and nothing new."""
    client, wrong = signed_in(User.objects.get(role="owner")), {}
    for page in of_stage(stage):
        with taken_back():
            wrong[page.name] = second_press(client, page)

    assert {name: said for name, said in wrong.items() if said} == {}


USES_ALL_UP = {
    "drying:hang": {"stems": "90"}, "growing:plant": {"area_m2": ""}, "stock:make_run": {},
    "stock:move": {}, "stock:draw": {}, "stock:write_off": {}, "stock:count_box": {},
}


def all_there_is(form: VerbForm, page: VerbPage) -> dict:
    """The form filled in so that it offers the same no longer once it is done."""
    sent = {**filled(form, page), **USES_ALL_UP[page.name]}
    if "content" in form.fields:
        content = form.fields["content"].queryset.get(pk=sent["content"])
        sent["bunches"] = content.bunches
    for field in form.fields:
        sent.update({field: "0"} if field.startswith("counted_") else {})
    if page.name == "drying:hang":
        lot = form.fields["lot"].queryset.first()
        sent.update(lot=lot.pk, stems=lot.stems_in_water)
    if page.name == "stock:make_run":
        loose = form.hangings[0].loose
        sent.update({f"from_{form.hangings[0].pk}": loose, "lost": loose - 10})
    return sent


@pytest.mark.parametrize("name", sorted(USES_ALL_UP))
def test_the_second_press_finds_the_first_result_though_all_is_used_up(plenty, signed_in, name):
    """A lost answer is answered again, also where the form no longer offers what it took."""
    client, page = signed_in(User.objects.get(role="owner")), page_of(name)
    with taken_back():
        for url in page.addresses()[::-1]:
            sent = all_there_is(client.get(url).context["form"], page)
            first = client.post(url, sent)
            if first.status_code == 302:
                break
        assert first.status_code == 302, first.context["form"].errors

        again = client.post(url, sent)

        assert (again.status_code, again.headers.get("Location")) == (302, first.headers["Location"])


def another(role: str) -> User:
    """Somebody else of that role."""
    return add_person(by=User.objects.get(role="owner"), username=f"other_{role}", password=PASSWORD, role=role)


def key_of_another(client: Client, other: Client, page: VerbPage) -> str:
    """What is wrong when somebody else sends the same form; nothing where that is refused and nothing written."""
    pressed = first_that_works(client, page)
    assert isinstance(pressed, Press), pressed
    before = LedgerState.objects.get().token
    stolen = other.post(pressed.url, pressed.sent)
    refused = stolen.status_code == 422 and before == LedgerState.objects.get().token
    return "" if refused else f"{stolen.status_code} {stolen.headers.get('Location')}"


@pytest.mark.parametrize("stage", STAGES)
def test_the_key_of_somebody_elses_form_is_refused(plenty, signed_in, stage):
    """A form done by one person does nothing, and shows nothing, in the hands of another."""
    with taken_back():
        client, other, wrong = signed_in(User.objects.get(role="owner")), signed_in(another("owner")), {}
        for page in of_stage(stage):
            with taken_back():
                wrong[page.name] = key_of_another(client, other, page)

    assert {name: said for name, said in wrong.items() if said} == {}


def test_the_key_of_another_verb_is_refused(plenty, signed_in):
    """A key that added a plot adds no species."""
    client = signed_in(User.objects.get(role="owner"))
    with taken_back():
        pressed = first_that_works(client, page_of("growing:add_plot"))
        sent = {"form_key": pressed.sent["form_key"], "name": "Teasel"}

        answer = client.post(reverse("growing:add_species"), sent)

        assert answer.status_code == 422
        assert "This form was used for something else" in answer.content.decode()


def refused_then_right(client: Client, page: VerbPage) -> str:
    """What is wrong with a form refused for its day and then sent again with a right one."""
    with taken_back():
        pressed = first_that_works(client, page)
    assert isinstance(pressed, Press), pressed
    if "on" not in pressed.sent:
        return ""
    refused = client.post(pressed.url, {**pressed.sent, "on": "2999-01-01"})
    right = client.post(pressed.url, pressed.sent)
    return "" if (refused.status_code, right.status_code) == (422, 302) else f"{refused.status_code} {right.status_code}"


@pytest.mark.parametrize("stage", STAGES)
def test_a_refused_form_can_be_put_right_and_sent_again(plenty, signed_in, stage):
    """A refusal uses up no key."""
    client, wrong = signed_in(User.objects.get(role="owner")), {}
    for page in of_stage(stage):
        with taken_back():
            wrong[page.name] = refused_then_right(client, page)

    assert {name: said for name, said in wrong.items() if said} == {}
