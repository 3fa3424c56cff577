"""The pages of what time and money were spent on, and forms that are shown again before they count."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject
from ledger.facts.pages import Link

from ..models import Purchase, WorkEntry, Worker
from ..queries import materials_used_for, minutes_spent_on

MOST_SHOWN = 25

# A record further along the path is known here by the name of its address only.
RECORD_PAGES = {
    "plot": "growing:plot", "planting": "growing:planting", "lot": "growing:lot", "place": "drying:place",
    "hanging": "drying:hanging", "run": "stock:run", "stall_day": "sales:stall_day", "order": "sales:order",
    "sale": "sales:sale", "job": "sales:job", "workshop": "sales:workshop", "material": "daybook:material",
}


def page_of(thing: CostObject) -> str:
    """The page of the record a cost object belongs to, empty for the holding and its store."""
    name = RECORD_PAGES.get(thing.kind)
    return reverse(name, args=[thing.pk]) if name else ""


def with_pages(shares: Any) -> list[Any]:
    """Shares of work or of a bill, each with the page of its thing as `page`."""
    found = list(shares)
    for share in found:
        share.page = page_of(share.spent_on)
    return found


def spending_on(thing: CostObject, user: Any) -> dict[str, Any]:
    """Hours and purchases of which a record bears a part, for those who may see each."""
    sees_work, sees_money = user.may("work") or user.may("money"), user.may("money")
    return {
        "thing": thing, "sees_work": sees_work, "sees_money": sees_money,
        "entries": WorkEntry.objects.spent_on(thing).select_related("worker")[:MOST_SHOWN] if sees_work else [],
        "minutes": minutes_spent_on(thing) if sees_work else 0,
        "uses": materials_used_for(thing)[:MOST_SHOWN] if sees_work else [],
        "purchases": Purchase.objects.spent_on(thing)[:MOST_SHOWN] if sees_money else [],
    }


def spending_links(pk: int) -> list[Link]:
    """The ways to note hours and purchases on a record that time and money is spent on."""
    return [
        Link(_("Note work on it"), f"{reverse('daybook:note_work')}?spent_on={pk}", "work"),
        Link(_("Start the clock on it"), f"{reverse('daybook:start_clock')}?spent_on={pk}", "work"),
        Link(_("Enter a purchase for it"), f"{reverse('daybook:record_purchase')}?spent_on={pk}", "money"),
        Link(_("Use a material for it"), f"{reverse('daybook:use_material')}?spent_on={pk}", "work"),
    ]


def as_before(user: Any) -> dict[str, Any]:
    """What a form of work begins with: the worker who signed in, else the one noted last, and the task noted last."""
    own = Worker.objects.filter(user=user).values_list("pk", flat=True).first()
    last = WorkEntry.objects.filter(recorded_by=user).order_by("-pk").first()
    return {"worker": own or (last and last.worker_id), "task": last and last.task}


def things_asked_for(request: HttpRequest) -> dict[str, list[str]]:
    """All the things an address names for a form."""
    return {name: request.GET.getlist(name) for name in ("spent_on", "done") if name in request.GET}


class AskAgain:
    """A form that is shown again, what was typed kept, when something is to be found or `more` is asked for."""

    def post(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        other_words = request.POST.get("find", "") != request.POST.get("found", "")
        if not other_words and not {"seek", "more"} & set(request.POST):
            return super().post(request, *args, **given)
        form = self.form_class(initial=_typed(request.POST), **self.form_given())
        return self.show(form)


def _typed(sent: QueryDict) -> dict[str, Any]:
    """What was typed, the things chosen as lists."""
    return {name: sent.getlist(name) if name.startswith(("spent_on", "done")) else sent[name] for name in sent}
