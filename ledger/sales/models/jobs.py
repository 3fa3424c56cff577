"""Jobs: a wedding, an event, a display; quoted by the piece, agreed to, done or cancelled."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.models import CostObject, Fact
from ledger.growing.models import Variety
from ledger.pricing.models import Way
from ledger.sales.queries.job_sets import JobQuerySet
from ledger.stock.models import Hold, HoldChange, Line

from .customers import Customer

MOST_PIECES, MOST_PRICE, MOST_MINUTES = 10_000, 10**9, 60 * 24 * 10


class Job(Fact):
    """A priced piece of floristry for one customer, asked about on a day; how it stands follows from its facts.

    Prices of its pieces are as the `way` keeps them, with tax or net. Time and money spent on it name its cost object.
    """

    class Kind(models.TextChoices):
        WEDDING = "wedding", _("wedding")
        FUNERAL = "funeral", _("funeral")
        EVENT = "event", _("event")
        DISPLAY = "display", _("display")
        OTHER = "other", _("other work")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="job")
    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=7, choices=Kind, default=Kind.WEDDING)
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="jobs")
    way = models.ForeignKey(Way, models.PROTECT, related_name="jobs")
    held_on = models.DateField(_("day of the job"))
    good_until = models.DateField(_("quote good until"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=400, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(kind__in=["wedding", "funeral", "event", "display", "other"]), name="job_kind_known"
            ),
            models.CheckConstraint(
                condition=Q(held_on__gte=F("on")), name="job_not_before_asked",
                violation_error_message=_("A job cannot be before the day it was asked about."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(name)s, job %(key)s")) % {"name": self.name, "key": self.pk}

    def get_absolute_url(self) -> str:
        return reverse("sales:job", args=[self.pk])

    @cached_property
    def said(self) -> "Job | JobChange":
        """What last said its day, how long its quote is good and its note: the latest change, else the job itself."""
        return self.said_anew.standing().order_by("-on", "-pk").first() or self  # type: ignore[attr-defined]


class JobChange(Fact):
    """The day of a job, how long its quote is good and its note said anew; the latest standing one holds."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="said_anew")
    held_on = models.DateField(_("day of the job"))
    good_until = models.DateField(_("quote good until"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=400, blank=True)

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(job)s, said anew %(on)s")) % {"job": self.job, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()


class JobPiece(Fact):
    """So many of one piece of a job, each at a price (minor units as the way keeps it) and with so many minutes of planned work.

    A piece without parts is a service: delivery, setting up. A change replaces the piece.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="pieces")
    name = models.CharField(_("piece"), max_length=80)
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PIECES)])
    price = models.PositiveBigIntegerField(_("price of one"), validators=[MaxValueValidator(MOST_PRICE)])
    minutes = models.PositiveIntegerField(_("work on one, minutes"), default=0, validators=[MaxValueValidator(MOST_MINUTES)])
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gte=1), name="job_piece_some"),
        ]

    def __str__(self) -> str:
        return str(_("%(quantity)d x %(name)s")) % {"quantity": self.quantity, "name": self.name}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()

    @property
    def amount(self) -> int:
        """All of them, minor units as the way keeps its prices."""
        return self.quantity * self.price


class PiecePart(models.Model):
    """So much of one thing in one of a piece.

    Of a dried `line`: stems where it is bunched by stems, else its units. Of a `variety`: fresh stems of the holding's
    own. Of a `material`: its units. `bought`: something bought in for it, each at a net `cost` (minor units).
    """

    part_of = "piece"
    piece = models.ForeignKey(JobPiece, models.PROTECT, related_name="parts")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="job_parts")
    variety = models.ForeignKey(Variety, models.PROTECT, null=True, blank=True, related_name="job_parts")
    material = models.ForeignKey(Material, models.PROTECT, null=True, blank=True, related_name="job_parts")
    bought = models.CharField(_("bought in"), max_length=80, blank=True)
    cost = models.PositiveBigIntegerField(_("net cost of one"), default=0, validators=[MaxValueValidator(MOST_PRICE)])
    quantity = models.PositiveIntegerField(_("in one piece"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(line__isnull=False, variety__isnull=True, material__isnull=True, bought="")
                | Q(line__isnull=True, variety__isnull=False, material__isnull=True, bought="")
                | Q(line__isnull=True, variety__isnull=True, material__isnull=False, bought="")
                | (Q(line__isnull=True, variety__isnull=True, material__isnull=True) & ~Q(bought="")),
                name="piece_part_of_one_thing",
                violation_error_message=_("A part is one thing: a bunch line, fresh stems, a material or something bought in."),
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="piece_part_some"),
            models.CheckConstraint(
                condition=Q(cost=0) | ~Q(bought=""), name="piece_part_cost_of_bought",
                violation_error_message=_("Only what is bought in has a cost typed; the ledger knows the rest."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.line or self.variety or self.material or self.bought)


class JobAgreed(Fact):
    """The customer agreed to the quote as it stood that day."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="agreements")

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("jobs agreed")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["job"], condition=Q(undone_at__isnull=True), name="job_agreed_once",
                violation_error_message=_("That job is agreed already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(job)s agreed %(on)s")) % {"job": self.job, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()


class JobHold(models.Model):
    """The hold that keeps bunches of one line for a job, from months ahead if need be."""

    part_of = "job"
    job = models.ForeignKey(Job, models.PROTECT, related_name="holds")
    line = models.ForeignKey(Line, models.PROTECT, related_name="job_holds")
    hold = models.OneToOneField(Hold, models.PROTECT, related_name="job_hold")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["job", "line"], name="job_hold_once_a_line")]

    def __str__(self) -> str:
        return str(self.hold)


class Deposit(Fact):
    """Money a customer paid ahead for a job (+) or got back of it (-), minor units; owed to the customer until it is billed."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="deposits")
    amount = models.BigIntegerField(_("amount"))
    how = models.CharField(_("how it came"), max_length=60, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=~Q(amount=0), name="deposit_some"),
        ]

    def __str__(self) -> str:
        return str(_("Deposit of %(job)s, %(on)s")) % {"job": self.job, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()


class JobCancelled(Fact):
    """A job that will not be: its holds are freed; of its deposits `kept` is income of that day, `given_back` the rest.

    `kept` in minor units, with tax of `rate_bp` in it where the kept deposit is taxed (nil: it is not).
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="cancellings")
    why = models.CharField(_("why"), max_length=200, blank=True)
    kept = models.PositiveBigIntegerField(_("kept of the deposit"), default=0)
    rate_bp = models.PositiveIntegerField(default=0)
    given_back = models.OneToOneField(Deposit, models.PROTECT, null=True, blank=True, related_name="cancelling")

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("jobs cancelled")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["job"], condition=Q(undone_at__isnull=True), name="job_cancelled_once",
                violation_error_message=_("That job is cancelled already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(job)s cancelled %(on)s")) % {"job": self.job, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()


class JobFreed(models.Model):
    """One change of a hold by which a cancelled job gave back what it kept."""

    part_of = "cancelled"
    cancelled = models.ForeignKey(JobCancelled, models.PROTECT, related_name="freed")
    change = models.OneToOneField(HoldChange, models.PROTECT, related_name="job_freed")


class JobDone(Fact):
    """A job done on its day: what is charged for it then is its income; `rate_bp` the tax rate of the day."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="doings")
    rate_bp = models.PositiveIntegerField(default=0)

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("jobs done")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["job"], condition=Q(undone_at__isnull=True), name="job_done_once",
                violation_error_message=_("That job is done already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(job)s done %(on)s")) % {"job": self.job, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.job.get_absolute_url()


class JobLetGo(models.Model):
    """One change of a hold by which a job done gave back what it kept and did not need."""

    part_of = "done"
    done = models.ForeignKey(JobDone, models.PROTECT, related_name="let_go")
    change = models.OneToOneField(HoldChange, models.PROTECT, related_name="job_let_go")


class JobCharge(models.Model):
    """What is charged for a piece or a hire of a job done, at one price each (minor units as the way keeps it)."""

    part_of = "done"
    done = models.ForeignKey(JobDone, models.PROTECT, related_name="charges")
    piece = models.ForeignKey(JobPiece, models.PROTECT, null=True, blank=True, related_name="charges")
    hire = models.ForeignKey("sales.JobHire", models.PROTECT, null=True, blank=True, related_name="charges")
    description = models.CharField(max_length=240)
    quantity = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    price = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(piece__isnull=False, hire__isnull=True) | Q(piece__isnull=True, hire__isnull=False),
                name="job_charge_of_piece_or_hire",
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="job_charge_some"),
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def amount(self) -> int:
        """All of them, minor units as the way keeps its prices."""
        return self.quantity * self.price
