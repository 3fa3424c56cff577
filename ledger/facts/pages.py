"""The two shapes of page every stage uses: a list of records, and one verb's form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.paginator import EmptyPage, PageNotAnInteger
from django.db import models
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext_lazy as _
from django.views import View
from django_filters.views import FilterView
from django_tables2 import RequestConfig, SingleTableMixin

from .forms import NoDayForm, VerbForm
from .leaves import Leaves
from .writing import done_before


@dataclass(frozen=True)
class Link:
    """Something that can be done or seen from a page, for those who may."""

    label: Any
    url: str
    may: str | tuple[str, ...] = ()

    def open_to(self, user: Any) -> bool:
        wanted = (self.may,) if isinstance(self.may, str) else self.may
        return not wanted or any(user.may(one) for one in wanted)


def links_for(user: Any, *links: Link) -> list[Link]:
    """Those of the links that this person may follow."""
    return [link for link in links if link.open_to(user)]


def require_may(user: Any, *wanted: str) -> None:
    """Refuse a person whose role allows none of what is wanted."""
    if not Link("", "", wanted).open_to(user):
        raise PermissionDenied(_("Your role does not allow this page."))


class MayMixin:
    """Refuse those whose role allows none of `may`."""

    may: str | tuple[str, ...] = ()

    def dispatch(self, request: HttpRequest, *args: Any, **given: Any) -> Any:
        if not Link("", "", self.may).open_to(request.user):
            raise PermissionDenied(_("Your role does not allow this page."))
        return super().dispatch(request, *args, **given)  # type: ignore[misc]


def in_total_order(rows: Any) -> Any:
    """The rows as ordered, ties by key; without an order the latest day first."""
    if not isinstance(rows, models.QuerySet):
        return rows
    asked = rows.query.order_by or (rows.query.default_ordering and rows.model._meta.ordering) or ()
    if asked:
        return rows.order_by(*asked, "-pk")
    return rows.order_by("-on", "-pk") if any(field.name == "on" for field in rows.model._meta.fields) else rows.order_by("pk")


class ListPage(MayMixin, SingleTableMixin, FilterView):
    """A filtered, sorted, paged list. Set `model`/`queryset`, `table_class`, `filterset_class`, `title`, `may`."""

    template_name = "site/list.html"
    title: Any = ""
    intro: Any = ""
    paginate_by = 25
    strict = False

    def links(self) -> list[Link]:
        """What can be done here."""
        return []

    def get_paginate_by(self, rows: Any) -> int | None:
        """The table is what turns over its leaves, not the bare records."""
        return None if isinstance(rows, models.QuerySet) else self.paginate_by

    def get_table(self, **given: Any) -> Any:
        """The table, sorted as asked and then by key, at the leaf asked for."""
        table = self.get_table_class()(data=self.get_table_data(), **given)
        RequestConfig(self.request, paginate=False).configure(table)
        table.data.data = in_total_order(table.data.data)
        try:
            table.paginate(Leaves, page=self.request.GET.get(table.prefixed_page_field, 1), per_page=self.paginate_by)
        except PageNotAnInteger:
            table.page = table.paginator.page(1)
        except EmptyPage:
            table.page = table.paginator.page(table.paginator.num_pages)
        return table

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        links = links_for(self.request.user, *self.links())
        return super().get_context_data(title=self.title, intro=self.intro, links=links, **given)


class Verb(MayMixin, View):
    """One verb's page: shows the form, does the action once, goes on.

    Set `form_class`, `title`, `may`, `button`; override `act` and `then`. With
    `subject_model`, the record named by `pk` in the address is `self.subject`.
    The page's name is its action's; where it is not, `verb` says the action's.
    """

    form_class: type[VerbForm] = VerbForm
    template_name = "site/verb.html"
    title: Any = ""
    intro: Any = ""
    button: Any = _("Record")
    done: Any = _("Recorded.")
    verb: str = ""
    subject_model: type[models.Model] | None = None
    subject: Any = None

    def setup(self, request: HttpRequest, *args: Any, **given: Any) -> None:
        super().setup(request, *args, **given)
        self.given = given

    def find_subject(self) -> None:
        if self.subject_model is not None:
            self.subject = get_object_or_404(self.subject_model, pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        """What the empty form already says."""
        return {name: value for name, value in self.request.GET.items() if name != "form_key"}

    def form(self, sent: Any = None) -> VerbForm:
        return self.form_class(sent, initial=self.initial(), **self.form_given())

    def form_given(self) -> dict[str, Any]:
        """More arguments for the form."""
        return {}

    def act(self, form: Any, **common: Any) -> Any:
        """Call the action; `common` is `by` and `key`."""
        raise PermissionDenied

    def then(self, result: Any) -> str:
        """The address to go on to."""
        return result.get_absolute_url()

    def say(self, result: Any) -> Any:
        """What is said once it is done."""
        return self.done

    def context(self) -> dict[str, Any]:
        """More for the template."""
        return {}

    def get(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        self.find_subject()
        return self.show(self.form())

    def post(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        self.find_subject()
        form = self.form(request.POST)
        if form.is_valid():
            try:
                result = self.act(form, by=request.user, key=form.cleaned_data["form_key"])
            except ValidationError as error:
                form.refuse(error)
            else:
                messages.success(request, self.say(result))
                return HttpResponseRedirect(self.then(result))
        elif (result := self.done_before(form)) is not None:
            return HttpResponseRedirect(self.then(result))
        return self.show(form, status=422)

    def done_before(self, form: VerbForm) -> Any:
        """What the same press made before: the form may no longer offer what it has used up."""
        match, key = self.request.resolver_match, str(form.data.get("form_key", ""))
        return done_before(key, by=self.request.user, verb=self.verb or (match and match.url_name) or "")  # type: ignore[arg-type]

    def show(self, form: VerbForm, status: int = 200) -> HttpResponse:
        about = {"form": form, "title": self.title, "intro": self.intro, "button": self.button, "subject": self.subject}
        answer = render(self.request, self.template_name, {**about, **self.context()}, status=status)
        answer["Cache-Control"] = "private, no-store"  # gone back to, it is asked for anew: a form's key is used once
        return answer


class Undo(Verb):
    """Undo one fact: shows what it is, asks once, does the stage's undoing action.

    Set `subject_model`, `may` and `undoing` (the action, called with the fact
    under the name in `fact_name`).
    """

    form_class = NoDayForm
    title = _("Undo")
    button = _("Undo it")
    done = _("Undone.")
    template_name = "site/undo.html"
    undoing: Any = None
    fact_name = "fact"
    back = "today"

    def act(self, form: Any, **common: Any) -> Any:
        return type(self).undoing(**{self.fact_name: self.subject}, **common)
