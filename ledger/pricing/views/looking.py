"""Pages that show what a price does before it is set: plain HTML, two presses."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse

from ledger.facts.pages import Verb


class LooksFirst(Verb):
    """A verb whose first press (`look`) only shows what the second would do."""

    effects: Any = None

    def sees_costs(self) -> bool:
        """Whether margins may be shown to this person."""
        return bool(self.request.user.may("see_costs"))  # type: ignore[union-attr]

    def seen(self, form: Any) -> Any:
        """What the form as filled in would do."""
        raise NotImplementedError

    def post(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        if "look" not in request.POST:
            return super().post(request, *args, **given)
        self.find_subject()
        form = self.form(request.POST)
        if not form.is_valid():
            return self.show(form, status=422)
        self.effects = self.seen(form)
        return self.show(form)

    def context(self) -> dict[str, Any]:
        return {**super().context(), "effects": self.effects, "sees_costs": self.sees_costs()}
