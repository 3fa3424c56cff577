"""What a line would cost and leave if something were otherwise, on screen and as paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from ledger.costing.forms import AsOfForm
from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.paper import paper
from ledger.facts.pictures import EitherWay, Sway
from ledger.facts.queries import holding, today
from ledger.reckoning.currency import format_minor, minor_digits
from ledger.reckoning.sharing import printed, to_minor
from ledger.stock.models import Line

from ..models import Way
from ..queries.what_if import Ground, Outcome, WhatIf, ground_of, what_if
from .asking import WhatIfForm

LEVERS = {
    "wage": gettext_lazy("Wage"), "loss": gettext_lazy("Loss in drying"), "stems": gettext_lazy("Stems to the bunch"),
    "plot": gettext_lazy("Plot cost"), "cut": gettext_lazy("Yield"), "fees": gettext_lazy("Fees and costs of selling"),
    "price": gettext_lazy("Price"),
}


@dataclass(frozen=True)
class Row:
    """One figure now, as it would be, and the difference; `kind` says how it is shown: money, share or number."""

    label: Any
    kind: str
    now: int | None
    then: int | None
    note: Any = ""

    @property
    def more(self) -> int | None:
        return None if self.now is None or self.then is None else self.then - self.now


def show(request: HttpRequest, pk: int) -> HttpResponse:
    """The question's form and its answer; the answer alone where the page asks for it."""
    ground, ways, form = _asked(request, pk)
    about = {**_about(ground, form), "form": form, "ways": [(way, _url("pricing:what_if", pk, way=way.pk)) for way in ways]}
    if ground is not None and form is not None and "found" in about:
        about |= _leads(request, ground, form, about["found"].then.price)
    if request.headers.get("HX-Request"):
        return render(request, "pricing/what_if.html#outcome", about)
    links = links_for(
        request.user, Link(_("What it costs and what to charge"), reverse("pricing:cost_sheet", args=[pk])),
        Link(_("Its prices"), reverse("pricing:line", args=[pk])),
    )
    return render(request, "pricing/what_if.html", {**about, "links": links})


def show_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The same as paper."""
    ground, _ways, form = _asked(request, pk)
    return paper(request, "print/what_if.html", {**_about(ground, form), "form": form}, f"what-if-{pk}.pdf")


def _asked(request: HttpRequest, pk: int) -> tuple[Ground | None, list[Way], WhatIfForm | None]:
    """What is asked about: the line, the way named in the address (else one it has a price by), the day."""
    require_may(request.user, "see_costs")
    line = get_object_or_404(Line.objects.whole(), pk=pk)
    as_of, ways = AsOfForm(request.GET), list(Way.objects.all())
    on = (as_of.is_valid() and as_of.cleaned_data["on"]) or today()
    way = next((one for one in ways if str(one.pk) == request.GET.get("way")), None) or _usual_way(line, ways)
    if way is None:
        return None, ways, None
    ground = ground_of(line, way, on)
    return ground, ways, WhatIfForm(request.GET.dict(), ground)


def _usual_way(line: Line, ways: Sequence[Way]) -> Way | None:
    """The first way the line has a price by, else the first there is."""
    priced = set(line.prices.in_force(today()).values_list("way", flat=True))
    return next((way for way in ways if way.pk in priced), ways[0] if ways else None)


def _url(name: str, pk: int, **query: Any) -> str:
    return f"{reverse(name, args=[pk])}?{urlencode(query)}"


def _leads(request: HttpRequest, ground: Ground, form: WhatIfForm, price: int | None) -> dict[str, Any]:
    """Where the answer leads: to paper with what was typed, and to a price."""
    typed = {**{name: form.data[name] for name in form.fields if name in form.data}, "way": ground.way.pk, "on": ground.on}
    leads = {"paper_url": _url("pricing:what_if_paper", ground.line.pk, **typed)}
    if price and request.user.may("prices"):  # type: ignore[union-attr]
        amount = format_minor(price, minor_digits(holding().currency))
        asked = urlencode({"line": ground.line.pk, "way": ground.way.pk, "amount": amount})
        leads["price_url"] = f"{reverse('pricing:set_price')}?{asked}"
    return leads


def _about(ground: Ground | None, form: WhatIfForm | None) -> dict[str, Any]:
    """The answer as rows, layers and a picture; nothing where nothing can be said."""
    about: dict[str, Any] = {"ground": ground}
    if ground is None or form is None or not ground.answers or not form.is_valid():
        return about
    found = what_if(ground, form.asked())
    by = {"layers": layer_rows(found), "rows": rows_of(ground, found), "by_proposal": ground.present is None}
    return {**about, **by, "found": found, "picture": _picture(found) if found.sways else None}


def layer_rows(found: WhatIf) -> list[Row]:
    """The layers of cost to the shelf beside each other, in minor units that add up."""
    now, then = (printed([layer.shelf for layer in one.layers]) for one in (found.now, found.then))
    return [Row(layer.name, "money", *pair) for layer, *pair in zip(found.now.layers, now, then, strict=True)]


def rows_of(ground: Ground, found: WhatIf) -> list[Row]:
    """The figures of the answer, one a row."""
    now, then = found.now, found.then
    net = _("without tax") if ground.way.with_tax and ground.rate else ""
    made = _("Made of the same planting") if ground.makes_more else _("Pieces, as many as were made")
    return [
        Row(_("Stock cost"), "money", to_minor(now.stock_cost), to_minor(then.stock_cost)),
        Row(_("Cost to the shelf"), "money", to_minor(now.shelf_cost), to_minor(then.shelf_cost)),
        Row(_("Full cost at that price"), "money", _of(now, "full_cost"), _of(then, "full_cost")),
        Row(_("Price proposed"), "money", now.proposed, then.proposed, _why_not(then)),
        Row(_("Price"), "money", now.price, then.price),
        Row(_("Margin on one"), "money", _of(now, "margin"), _of(then, "margin"), net),
        Row(_("Margin"), "share", _share(now), _share(then), _("of the price without tax")),
        Row(made, "number", now.made, then.made),
        Row(_("Must sell to pay for all of them"), "number", now.must_sell, then.must_sell, _never(then)),
    ]


def _of(outcome: Outcome, what: str) -> int | None:
    return to_minor(getattr(outcome.left, what)) if outcome.left else None


def _share(outcome: Outcome) -> int | None:
    return outcome.left.margin_bp if outcome.left else None


def _why_not(outcome: Outcome) -> str:
    return outcome.proposal.why_not if outcome.proposal else _("this way has no terms yet")


def _never(outcome: Outcome) -> str:
    """What is to be said of a number that must sell."""
    if outcome.left is None:
        return ""
    if outcome.must_sell is None:
        return _("never: selling one takes all it brings")
    return _("more than there are") if outcome.must_sell > outcome.made else ""


def _picture(found: WhatIf) -> EitherWay:
    """What a tenth of each thing does to the margin of one, as asked."""
    digits = minor_digits(holding().currency)

    def said(amount: int) -> str:
        return format_minor(amount, digits)

    middle = to_minor(found.then.left.margin) if found.then.left else 0
    rows = [Sway(LEVERS[one.lever], one.less, one.more, said(one.less), said(one.more)) for one in found.sways]
    says = _(
        "Each thing by itself ten per cent less and ten per cent more, the others as asked: what is left of one after all its "
        "cost. The longest bar matters most: %(what)s."
    ) % {"what": rows[0].label}
    return EitherWay(
        "sways", _("What matters most to the margin"), says, _("Moved"), _("−10 %"), _("+10 %"), middle, said(middle),
        _("margin as asked: %(amount)s") % {"amount": said(middle)}, rows,
    )
