"""Health: mites washed and counted, brood looked at for disease, treatments given and taken out again."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.core.models import Versioned
from apiary_ops.yards.compute import Label

from .colonies import Colony
from .places import Yard
from .visits import Visit


class MiteWash(models.Model):
    """Mites washed off a sample of bees; without a colony the sample stands for the yard."""

    class Method(models.TextChoices):
        ALCOHOL = "alcohol", _("alcohol wash")
        SOAP = "soap", _("soapy water")
        SUGAR = "sugar", _("sugar roll")

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="mite_washes")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="mite_washes")
    method = models.CharField(_("method"), max_length=8, choices=Method.choices, default=Method.ALCOHOL)
    bees = models.PositiveSmallIntegerField(
        _("bees in the sample"), default=300, validators=[MinValueValidator(50), MaxValueValidator(1000)]
    )
    mites = models.PositiveSmallIntegerField(_("mites counted"))

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_mite_wash_has_its_bees",
                condition=Q(bees__range=(50, 1000), mites__lte=F("bees") * 2),
                violation_error_message=_("A wash takes 50 to 1,000 bees, and no more than two mites a bee."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.mites} mites in {self.bees} bees"


class BroodCheck(models.Model):
    """Brood looked over for disease: of one colony, or of so many in a yard."""

    class Result(models.TextChoices):
        CLEAR = "clear", _("clear")
        SUSPECT = "suspect", _("suspect")

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="brood_checks")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="brood_checks")
    colonies_checked = models.PositiveSmallIntegerField(_("colonies checked"), default=1)
    result = models.CharField(_("result"), max_length=7, choices=Result.choices)
    note = models.CharField(_("note"), max_length=300, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(name="a_brood_check_checked_some", condition=Q(colonies_checked__gte=1)),
        ]

    def __str__(self) -> str:
        return str(self.get_result_display())


class TreatmentKind(Versioned):
    """A treatment as its label has it: how long it works, and whether it must come out. The label in force decides."""

    code = models.SlugField(_("code"), unique=True, max_length=20)
    name = models.CharField(_("name"), max_length=80)
    least_days = models.PositiveSmallIntegerField(_("in the hive at least, days"))
    most_days = models.PositiveSmallIntegerField(_("at most, days"))
    comes_out = models.BooleanField(_("must come out"), default=True)
    least_frames = models.DecimalField(
        _("only from, frames of bees"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    warmest_c = models.DecimalField(_("not above, °C"), max_digits=4, decimal_places=1, null=True, blank=True)
    is_in_use = models.BooleanField(_("in use"), default=True)
    source = models.CharField(_("source"), max_length=200, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_treatment_ends_after_its_least_days",
                condition=Q(most_days__gte=F("least_days")),
                violation_error_message=_("At most cannot be fewer days than at least."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def label(self) -> Label:
        """What the label asks, to be judged by."""
        return Label(self.least_days, self.most_days, self.least_frames, self.warmest_c)


class Treatment(models.Model):
    """A treatment given to a colony, or to a whole yard; it ends, or must come out, by a day."""

    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="treatments")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="treatments")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="treatments")
    kind = models.ForeignKey(TreatmentKind, on_delete=models.PROTECT, related_name="treatments")
    dose = models.CharField(_("dose"), max_length=60, blank=True)
    label_lot = models.CharField(_("lot on the label"), max_length=40, blank=True)
    starts_on = models.DateField(_("given on"))
    due_out_on = models.DateField(_("ends by"))
    ended_on = models.DateField(_("ended on"), null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_treatment_is_due_out_after_it_starts",
                condition=Q(due_out_on__gte=F("starts_on")),
                violation_error_message=_("A treatment cannot end before it is given."),
            ),
            models.CheckConstraint(
                name="a_treatment_ends_after_it_starts",
                condition=Q(ended_on__isnull=True) | Q(ended_on__gte=F("starts_on")),
                violation_error_message=_("A treatment cannot end before it is given."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind_id} from {self.starts_on}"
