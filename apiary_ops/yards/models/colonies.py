"""Colonies: what each is, where it stands, whom it came from, and the frames moved among them."""

from datetime import date

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.core.days import spoken_day
from apiary_ops.core.models import Versioned
from apiary_ops.sheets.models import ImportRun
from apiary_ops.yards.compute import is_within
from apiary_ops.yards.guards import COLONY_PATHS

from .places import Yard

# Tags are written on lids and stand in addresses.
TAG_FORM = RegexValidator(
    r"^[A-Z0-9][A-Z0-9.-]*\Z", _("A tag is made of letters, digits, dots and hyphens, such as C0031 or 12-A.")
)

DISEASE_SUSPECTED = "disease suspected"
# What colonies commonly die of (common practice). Stored as they stand here; anything else is written out.
LOSS_CAUSES = [
    ("starved", _("starved")),
    ("too weak", _("too weak")),
    ("queenless", _("queenless")),
    ("drone layer", _("drone layer")),
    ("mites", _("mites")),
    (DISEASE_SUSPECTED, _("disease suspected")),
    ("cold and damp", _("cold and damp")),
    ("robbed", _("robbed")),
    ("mice", _("mice")),
    ("bear", _("bear")),
    ("poisoned", _("poisoned")),
    ("overturned or flooded", _("overturned or flooded")),
    ("not known", _("not known")),
]
MOST_BOXES = 6
# As many as one box holds: a colony neither gives nor takes more of one sort at once.
MOST_FRAMES_MOVED = 10


class Colony(Versioned):
    """One colony: its tag, where it stands, what it is kept for and what became of it."""

    class Purpose(models.TextChoices):
        NUCS = "nucs", _("nucs")
        HONEY = "honey", _("honey")
        POLLINATION = "pollination", _("pollination contract")
        BREEDER = "breeder", _("breeder")
        DRONES = "drones", _("drone mother")
        RESERVE = "reserve", _("reserve")

    class State(models.TextChoices):
        LIVE = "live", _("live")
        LOST = "lost", _("lost")
        UNITED = "united", _("united")
        SOLD = "sold", _("sold")

    class Mark(models.TextChoices):
        """International colours by the last digit of the year: white 1 6, yellow 2 7, red 3 8, green 4 9, blue 5 0."""

        UNKNOWN = "", _("not noted")
        NONE = "none", _("not marked")
        WHITE = "white", _("white")
        YELLOW = "yellow", _("yellow")
        RED = "red", _("red")
        GREEN = "green", _("green")
        BLUE = "blue", _("blue")

    PATHS = COLONY_PATHS

    tag = models.CharField(_("tag"), unique=True, max_length=20, validators=[TAG_FORM])
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="colonies")
    position = models.PositiveSmallIntegerField(_("position"))
    boxes = models.PositiveSmallIntegerField(
        _("boxes"), default=2, validators=[MinValueValidator(1), MaxValueValidator(MOST_BOXES)]
    )
    purpose = models.CharField(_("kept for"), max_length=12, choices=Purpose.choices, default=Purpose.NUCS)
    # Outside these days the colony counts for nucs again; open ends mean always.
    purpose_from = models.DateField(_("kept for it from"), null=True, blank=True)
    purpose_until = models.DateField(_("kept for it until, with that day"), null=True, blank=True)
    state = models.CharField(_("state"), max_length=8, choices=State.choices, default=State.LIVE)
    started_on = models.DateField(_("started on"))
    ended_on = models.DateField(_("ended on"), null=True, blank=True)
    loss_cause = models.CharField(_("why it ended"), max_length=120, blank=True)
    queen_year = models.PositiveSmallIntegerField(_("queen's year"), null=True, blank=True)
    queen_origin = models.CharField(_("queen's origin"), max_length=80, blank=True)
    queen_mark = models.CharField(_("queen's mark"), max_length=6, choices=Mark.choices, blank=True)
    queen_lot = models.CharField(_("queen's lot"), max_length=40, blank=True)
    split_from = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="splits", verbose_name=_("split from")
    )
    united_into = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="united", verbose_name=_("united into")
    )
    import_run = models.ForeignKey(ImportRun, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["yard", "position"],
                condition=Q(state="live"),
                name="one_live_colony_at_a_position",
                violation_error_message=_("Another colony stands at this position."),
            ),
            models.CheckConstraint(name="colony_has_boxes", condition=Q(boxes__range=(1, MOST_BOXES))),
            models.CheckConstraint(
                name="an_ended_colony_has_its_day",
                condition=Q(state="live", ended_on__isnull=True)
                | (~Q(state="live") & Q(ended_on__gte=F("started_on"))),
                violation_error_message=_("A colony that ended needs the day, not before it started."),
            ),
            models.CheckConstraint(
                name="a_purpose_ends_after_it_begins",
                condition=Q(purpose_from__isnull=True)
                | Q(purpose_until__isnull=True)
                | Q(purpose_until__gte=F("purpose_from")),
                violation_error_message=_("The last day cannot come before the first."),
            ),
            models.CheckConstraint(
                name="only_a_united_colony_names_the_other",
                condition=Q(united_into__isnull=True) | (Q(state="united") & ~Q(united_into=F("id"))),
            ),
            models.CheckConstraint(
                name="a_colony_is_not_split_from_itself",
                condition=Q(split_from__isnull=True) | ~Q(split_from=F("id")),
            ),
        ]

    def __str__(self) -> str:
        return self.tag

    @property
    def loss_words(self) -> str:
        """Why it ended, in the reader's language where the cause is a common one."""
        return str(dict(LOSS_CAUSES).get(self.loss_cause, self.loss_cause))

    @property
    def purpose_words(self) -> str:
        """What it is kept for and in which days, if not always."""
        words = {"purpose": self.get_purpose_display()}
        if self.purpose_from:
            words["first"] = spoken_day(self.purpose_from)
        if self.purpose_until:
            words["last"] = spoken_day(self.purpose_until)
        if self.purpose_from and self.purpose_until:
            return gettext("%(purpose)s, %(first)s to %(last)s") % words
        if self.purpose_from:
            return gettext("%(purpose)s, from %(first)s") % words
        return gettext("%(purpose)s, until %(last)s") % words if self.purpose_until else str(words["purpose"])

    def counts_for_nucs_on(self, day: date) -> bool:
        """Whether it is kept for nucs that day, or for something else on other days only."""
        return self.purpose == self.Purpose.NUCS or not is_within(day, self.purpose_from, self.purpose_until)


class FrameMove(models.Model):
    """Frames that went from one colony to another. Frames carry disease, so what moved is never forgotten.

    A move recorded by mistake is struck, with the reason, and stays to be read.
    """

    on = models.DateField(_("day"), db_column="moved_on")
    from_colony = models.ForeignKey(Colony, on_delete=models.PROTECT, related_name="frames_given")
    to_colony = models.ForeignKey(Colony, on_delete=models.PROTECT, related_name="frames_taken")
    brood_frames = models.PositiveSmallIntegerField(_("frames of brood"), default=0)
    food_frames = models.PositiveSmallIntegerField(_("frames of food"), default=0)
    with_bees = models.BooleanField(_("with the bees on them"), default=False)
    moved_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    struck_on = models.DateField(_("struck on"), null=True, blank=True)
    struck_because = models.CharField(_("why it was struck"), max_length=120, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="frames_move_between_two_colonies",
                condition=~Q(from_colony=F("to_colony")),
                violation_error_message=_("Frames move from one colony to another. Choose two."),
            ),
            models.CheckConstraint(
                name="a_frame_move_moves_frames",
                condition=(Q(brood_frames__gt=0) | Q(food_frames__gt=0))
                & Q(brood_frames__lte=10)
                & Q(food_frames__lte=10),
                violation_error_message=_("Say how many frames moved, at most 10 of each."),
            ),
            models.CheckConstraint(
                name="a_struck_frame_move_says_why",
                condition=Q(struck_on__isnull=True, struck_because="")
                | (Q(struck_on__isnull=False) & ~Q(struck_because="")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.from_colony_id} to {self.to_colony_id}"

    @property
    def words(self) -> str:
        """What moved: "2 frames of brood and 1 frame of food, with bees"."""
        brood = ngettext("%(frames)s frame of brood", "%(frames)s frames of brood", self.brood_frames)
        food = ngettext("%(frames)s frame of food", "%(frames)s frames of food", self.food_frames)
        said = [
            brood % {"frames": self.brood_frames} if self.brood_frames else "",
            food % {"frames": self.food_frames} if self.food_frames else "",
        ]
        frames = gettext(" and ").join(words for words in said if words)
        return gettext("%(frames)s, with bees") % {"frames": frames} if self.with_bees else frames
