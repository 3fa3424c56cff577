"""The page that brings in a grower's own records."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext
from django.views import View

from ledger.books.bringing import KINDS, Brought, NotBroughtIn, bring_in, read_sent
from ledger.facts.models import User
from ledger.facts.pages import MayMixin


class SeveralFilesInput(forms.ClearableFileInput):
    """The browser's own picker, for several files at once."""

    allow_multiple_selected = True


class SeveralFilesField(forms.FileField):
    """One or more files."""

    widget = SeveralFilesInput

    def clean(self, sent: Any, initial: Any = None) -> list[UploadedFile]:
        if not sent:
            raise ValidationError(self.error_messages["required"], code="required")
        return [super(SeveralFilesField, self).clean(one, initial) for one in sent]


class BringInForm(forms.Form):
    """The CSVs, or a zip of them."""

    sent = SeveralFilesField(label=_("CSV files, or a zip of them"))


class BringIn(MayMixin, View):
    """Takes the files, brings in all of them or shows every fault."""

    may = "books"

    def get(self, request: HttpRequest) -> HttpResponse:
        return self.show(BringInForm())

    def post(self, request: HttpRequest) -> HttpResponse:
        form = BringInForm(request.POST, request.FILES)
        if not form.is_valid():
            return self.show(form, status=422)
        assert isinstance(request.user, User)
        try:
            brought = bring_in(by=request.user, files=read_sent(form.cleaned_data["sent"]))
        except NotBroughtIn as wrong:
            return self.show(BringInForm(), wrong, status=422)
        except ValidationError as error:
            form.add_error(None, " ".join(error.messages))
            return self.show(form, status=422)
        messages.success(request, _said(brought))
        return HttpResponseRedirect(reverse("books:bring_in"))

    def show(self, form: forms.Form, wrong: NotBroughtIn | None = None, status: int = 200) -> HttpResponse:
        given = {"title": _("Bring in records"), "form": form, "wrong": wrong, "kinds": KINDS.values()}
        return render(self.request, "books/bring_in.html", given, status=status)


def _said(brought: Brought) -> str:
    rows = sum(brought.rows.values())
    number = ngettext("%(rows)d row brought in", "%(rows)d rows brought in", rows) % {"rows": rows}
    return f"{number}: " + ", ".join(f"{file} {count}" for file, count in brought.rows.items())
