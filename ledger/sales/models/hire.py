"""Things hired out with a job: vases, arches, stands; out, back and broken."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.sales.queries.hire_sets import HireItemQuerySet

from .jobs import MOST_PIECES, MOST_PRICE, Job


class HireItem(models.Model):
    """A kind of thing the holding hires out; `charge` for one and for a broken one (`breakage`) are proposed, minor units."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    charge = models.PositiveBigIntegerField(_("hire of one"), default=0, validators=[MaxValueValidator(MOST_PRICE)])
    breakage = models.PositiveBigIntegerField(_("charge for one broken"), default=0, validators=[MaxValueValidator(MOST_PRICE)])
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = HireItemQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("sales:hire_item", args=[self.pk])


class HireItemCount(Fact):
    """So many more (+) or fewer (-) of a thing to hire out than before, from a day on; broken ones come off by themselves."""

    item = models.ForeignKey(HireItem, models.PROTECT, related_name="counts")
    more = models.IntegerField(_("more"), validators=[MinValueValidator(-MOST_PIECES), MaxValueValidator(MOST_PIECES)])
    why = models.CharField(_("why"), max_length=120, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=~Q(more=0), name="hire_item_count_some"),
        ]

    def __str__(self) -> str:
        return str(_("%(more)+d of %(item)s, %(on)s")) % {"more": self.more, "item": self.item, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.item.get_absolute_url()

    @property
    def fewer(self) -> int:
        """How many fewer, where it says so."""
        return -self.more


class JobHire(Fact):
    """So many of a thing to be hired out with a job from one day to another, both included.

    `price` of one and `breakage` for a broken one are as the job's way keeps prices, minor units.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="hires")
    item = models.ForeignKey(HireItem, models.PROTECT, related_name="hires")
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PIECES)])
    first_day = models.DateField(_("out from"))
    last_day = models.DateField(_("back by"))
    price = models.PositiveBigIntegerField(_("hire of one"), validators=[MaxValueValidator(MOST_PRICE)])
    breakage = models.PositiveBigIntegerField(_("charge for one broken"), default=0, validators=[MaxValueValidator(MOST_PRICE)])

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gte=1), name="job_hire_some"),
            models.CheckConstraint(
                condition=Q(first_day__lte=F("last_day")), name="job_hire_days_in_order",
                violation_error_message=_("It cannot be back before it is out."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("hire of %(quantity)d x %(item)s")) % {"quantity": self.quantity, "item": self.item}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()

    @property
    def amount(self) -> int:
        """All of them, minor units as the way keeps its prices."""
        return self.quantity * self.price


class HireOut(Fact):
    """So many of a hire that left on a day."""

    hire = models.ForeignKey(JobHire, models.PROTECT, related_name="outs")
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PIECES)])

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gte=1), name="hire_out_some"),
        ]

    def __str__(self) -> str:
        return str(_("%(quantity)d out, %(hire)s")) % {"quantity": self.quantity, "hire": self.hire}

    def get_absolute_url(self) -> str:
        return self.hire.get_absolute_url()


class HireBack(Fact):
    """So many of a hire back `whole` and so many `broken` or lost; `charge` for those is income of that day.

    `charge` in minor units as the job's way keeps prices, for all of them; `rate_bp` the tax rate of the day.
    """

    hire = models.ForeignKey(JobHire, models.PROTECT, related_name="backs")
    whole = models.PositiveIntegerField(_("back whole"), default=0, validators=[MaxValueValidator(MOST_PIECES)])
    broken = models.PositiveIntegerField(_("broken or lost"), default=0, validators=[MaxValueValidator(MOST_PIECES)])
    charge = models.PositiveBigIntegerField(_("charged for those"), default=0, validators=[MaxValueValidator(MOST_PRICE)])
    rate_bp = models.PositiveIntegerField(default=0)
    note = models.CharField(_("note"), max_length=120, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=~Q(whole=0, broken=0), name="hire_back_some",
                violation_error_message=_("Say how many came back, or are broken or lost."),
            ),
            models.CheckConstraint(
                condition=Q(charge=0) | Q(broken__gt=0), name="hire_back_charge_for_broken",
                violation_error_message=_("Nothing is broken or lost, so nothing is charged for it."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(whole)d back, %(broken)d broken, %(hire)s")) % {
            "whole": self.whole, "broken": self.broken, "hire": self.hire,
        }

    def get_absolute_url(self) -> str:
        return self.hire.get_absolute_url()
