from collections.abc import Sequence
from datetime import date

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.pickups.compute import WindowDraft
from apiary_ops.pickups.models import PickupDay, Window
from apiary_ops.yards.models import Yard


class NotAPickupYard(RuleBroken):
    """A yard where buyers do not collect."""


class OutsideSeason(RuleBroken):
    """A day of another season."""


class NoWindows(RuleBroken):
    """A day without a stretch in which anyone could come."""


class WindowsOverlap(RuleBroken):
    """Two windows that share minutes."""


class DayAlreadyOpen(RuleBroken):
    """A yard has one pickup day a date."""


@transaction.atomic
def open_pickup_day(
    *, season_id: int, yard_id: int, on: date, windows: Sequence[WindowDraft], notes: str = "", actor: User
) -> PickupDay:
    """Open a day on which buyers collect at a yard, with its windows and their places (one place is one car).

    Raises NotAPickupYard, OutsideSeason, NoWindows, WindowsOverlap, DayAlreadyOpen.
    """
    season, yard = Season.objects.get(pk=season_id), Yard.objects.get(pk=yard_id)
    _refuse(season, yard, on, windows)
    try:
        with transaction.atomic():
            day = PickupDay(season=season, yard=yard, on=on, notes=notes.strip())
            sign(day, actor)
            day.save(force_insert=True)
    except IntegrityError:
        raise DayAlreadyOpen(
            _("%(yard)s already has a pickup day on %(day)s. Open that one.") % {"yard": yard, "day": spoken_day(on)}
        ) from None
    Window.objects.bulk_create(
        Window(day=day, starts_at=draft.starts_at, ends_at=draft.ends_at, places=draft.places) for draft in windows
    )
    stamps.bump(season_id, "pickups")
    return day


def _refuse(season: Season, yard: Yard, on: date, windows: Sequence[WindowDraft]) -> None:
    if not yard.is_pickup_yard:
        raise NotAPickupYard(
            _("Buyers do not collect at %(yard)s. Choose another yard, or mark it as a pickup yard.") % {"yard": yard}
        )
    if on not in season:
        raise OutsideSeason(
            _("%(day)s is not in the season %(season)s. Choose a day in it.")
            % {"day": spoken_day(on), "season": season}
        )
    if not windows or any(draft.places < 1 or draft.ends_at <= draft.starts_at for draft in windows):
        raise NoWindows(_("Each window ends after it starts and has at least one place. Check the hours and hands."))
    ordered = sorted(windows, key=lambda draft: draft.starts_at)
    if any(one.ends_at > following.starts_at for one, following in zip(ordered, ordered[1:], strict=False)):
        raise WindowsOverlap(_("Two windows share the same minutes. Let each start when the one before ends."))
