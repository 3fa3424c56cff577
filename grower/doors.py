"""Ways in and out: sign-in, the first set-up, the one-use link."""

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView, PasswordChangeView
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse, reverse_lazy
from django.utils.translation import gettext_lazy as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from ledger.facts.actions import set_up
from ledger.facts.forms import SetUpForm
from ledger.facts.models import DoorLink, User

from .links import find_link, use_up

BACKEND = "django.contrib.auth.backends.ModelBackend"


class SignIn(LoginView):
    """Sign in with a name and a password."""

    template_name = "site/sign_in.html"
    redirect_authenticated_user = True


class SignOut(LogoutView):
    """Sign out, on POST."""

    next_page = "sign_in"


class ChangePassword(PasswordChangeView):
    """Change one's own password."""

    template_name = "site/verb.html"
    success_url = reverse_lazy("today")
    extra_context = {"title": _("Change your password"), "button": _("Change it")}


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def set_up_page(request: HttpRequest, token: str) -> HttpResponse:
    """Make the holding and its owner, behind a link that works while nobody exists."""
    link = find_link("set_up", token)
    if link is None or User.objects.exists():
        return _spent(request)
    form = SetUpForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            return _come(request, _set_up_once(link, form), reverse("today"))
        except ValidationError as error:
            form.refuse(error)
    about = {"form": form, "title": _("Set up the ledger"), "button": _("Begin")}
    return render(request, "site/set_up.html", about, status=422 if form.errors else 200)


def _set_up_once(link: DoorLink, form: SetUpForm) -> User:
    with transaction.atomic():
        if not use_up(link):
            raise ValidationError(_("This link has been used."), code="used")
        return set_up(**form.given())


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def come_in(request: HttpRequest, token: str) -> HttpResponse:
    """Sign in by a link: GET shows a button, POST uses the link up."""
    link = find_link("sign_in", token)
    if link is None or link.user is None or not link.user.is_active:
        return _spent(request)
    if request.method != "POST":
        return render(request, "site/come_in.html", {"who": link.user})
    return _come(request, link.user, reverse("today")) if use_up(link) else _spent(request)


def _come(request: HttpRequest, user: User, onward: str) -> HttpResponse:
    login(request, user, backend=BACKEND)
    return HttpResponseRedirect(onward)


def _spent(request: HttpRequest) -> HttpResponse:
    return render(request, "site/spent_link.html", status=410)
