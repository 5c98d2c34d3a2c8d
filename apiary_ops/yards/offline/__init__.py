"""The yard's part of the field book: what a phone takes along, and what it may record there."""

from django.utils.translation import gettext_lazy as _

from apiary_ops.fieldbook import registry
from apiary_ops.fieldbook.registry import Kind
from apiary_ops.yards import services

from . import payloads, telling
from .pack import pack, yards_to_pack

KINDS = [
    Kind(
        "visit",
        _("visit"),
        {1: payloads.read_visit_1, 2: payloads.read_visit},
        services.land_visit,
        telling.about_visit,
        telling.tell_visit,
        needs_parent=False,
    ),
    Kind(
        "look",
        _("look"),
        {1: payloads.read_look_1, 2: payloads.read_look},
        services.land_look,
        telling.about_colony,
        telling.tell_look,
    ),
    Kind("tally", _("tally"), {2: payloads.read_tally}, services.land_tally, telling.about_nothing, telling.tell_tally),
    Kind(
        "lost",
        _("loss"),
        {2: payloads.read_loss},
        services.land_loss,
        telling.about_colony,
        telling.tell_loss,
        needs_parent=False,
    ),
    Kind(
        "task_done",
        _("task done"),
        {2: payloads.read_task_done},
        services.land_task_done,
        telling.about_nothing,
        telling.tell_task_done,
        needs_parent=False,
    ),
    Kind(
        "leave", _("leaving"), {2: payloads.read_leave}, services.land_leave, telling.about_nothing, telling.tell_leave
    ),
    Kind(
        "frames",
        _("frames moved"),
        {2: payloads.read_frames},
        services.land_frames,
        telling.about_frames,
        telling.tell_frames,
        needs_parent=False,
    ),
]


def register() -> None:
    """Tell the field book what the yards pack and record; called from `apps.py ready()`."""
    registry.register_yards(yards_to_pack)
    registry.register_packer(pack)
    registry.register_addresses(telling.address_of)
    for kind in KINDS:
        registry.register_kind(kind)
