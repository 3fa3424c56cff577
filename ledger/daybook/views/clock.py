"""Pages of the clock."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm
from ledger.facts.pages import Link, Verb, links_for, require_may
from ledger.facts.queries import holding

from .. import actions
from ..forms.clock import StartClockForm, StopClockForm
from ..models import Clock
from .records import AskAgain, as_before, things_asked_for

MINUTE = timedelta(minutes=1)


def clocks(request: HttpRequest) -> HttpResponse:
    """Every clock that runs, and a way to start one."""
    require_may(request.user, "work")
    running = Clock.objects.filter(stopped_at=None).select_related("worker").prefetch_related("things__spent_on")
    about = {
        "clocks": [with_time(clock) for clock in running.order_by("started_at", "pk")],
        "links": links_for(
            request.user,
            Link(_("Start the clock"), reverse("daybook:start_clock"), "work"),
            Link(_("Note work"), reverse("daybook:note_work"), "work"),
        ),
    }
    return render(request, "daybook/clocks.html", about)


def with_time(clock: Clock) -> Clock:
    """A clock with `since` in the holding's time zone and `so_far` in whole minutes."""
    clock.since = clock.started_at.astimezone(_zone())  # type: ignore[attr-defined]
    clock.so_far = (timezone.now() - clock.started_at) // MINUTE  # type: ignore[attr-defined]
    return clock


def _zone() -> ZoneInfo:
    return ZoneInfo(holding().time_zone)


class StartClock(AskAgain, Verb):
    """Start a clock."""

    form_class, title, may, button = StartClockForm, _("Start the clock"), "work", _("Start")
    template_name, done = "daybook/start_clock.html", _("The clock runs.")

    def initial(self) -> dict[str, Any]:
        return {**as_before(self.request.user), **super().initial(), **things_asked_for(self.request)}

    def act(self, form: StartClockForm, **common: Any) -> Clock:
        return actions.start_clock(**form.given(), **common)


class OfClock(Verb):
    """A verb of one clock that runs."""

    subject_model, may, template_name = Clock, "work", "daybook/stop_clock.html"

    def context(self) -> dict[str, Any]:
        things = [one.spent_on for one in self.subject.things.select_related("spent_on")]
        return {"clock": with_time(self.subject), "things": things}


class StopClock(OfClock):
    """Stop a clock; it becomes work noted."""

    form_class, title, button, done = StopClockForm, _("Stop the clock"), _("Stop"), _("Noted.")

    def form_given(self) -> dict[str, Any]:
        return {"things": self.subject.things.count()}

    def act(self, form: StopClockForm, **common: Any) -> Any:
        given = form.given()
        given["at"] = self._moment(given["at"]) if given["at"] else None
        return actions.stop_clock(worker=self.subject.worker, clock=self.subject, **given, **common)

    def _moment(self, at: Any) -> datetime:
        """The first such time of day after the clock was started."""
        since = self.subject.started_at.astimezone(_zone()).replace(second=0, microsecond=0)
        moment = datetime.combine(since.date(), at, tzinfo=since.tzinfo)
        if moment < since:
            moment += timedelta(days=1)
        return max(moment, self.subject.started_at)

    def then(self, result: Any) -> str:
        return result[-1].get_absolute_url() if result else reverse("daybook:clocks")


class DropClock(OfClock):
    """Drop a clock; nothing is noted."""

    form_class, title, button, done = NoDayForm, _("Drop the clock"), _("Drop it"), _("Dropped: nothing was noted.")
    intro = _("Nothing is noted of the time it ran.")

    def act(self, form: Any, **common: Any) -> Clock:
        return actions.drop_clock(worker=self.subject.worker, clock=self.subject, **common)
