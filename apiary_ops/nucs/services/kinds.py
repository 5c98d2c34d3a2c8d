import json
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs.models import Nuc, NucKind
from apiary_ops.people.models import User

from .ready import refresh_ready_days

REFERENCE_KINDS = settings.BASE_DIR / "fixtures" / "reference" / "nuc_kinds.json"
_DECIMALS = (
    "make_up_bees",
    "make_up_brood",
    "make_up_food",
    "make_up_combs",
    "sale_covered",
    "sale_brood",
    "sale_food",
    "queen_laying_rate",
)


class KindExists(RuleBroken):
    pass


class KindImpossible(RuleBroken):
    pass


@transaction.atomic
def add_kind(*, code: str, name: str, frames: int, actor: User | None, **recipe_and_standard: Any) -> NucKind:
    """A kind of nuc: what one takes at make-up and what it must be when sold; further keywords name model fields.

    Raises KindExists, or KindImpossible with the sentence that says why.
    """
    if NucKind.objects.filter(code=code).exists():
        raise KindExists(_("There is already a kind with the code %(code)s. Choose another code.") % {"code": code})
    kind = NucKind(code=code, name=name, frames=frames, **recipe_and_standard)
    _refuse_impossible(kind)
    sign(kind, actor)
    kind.save()
    return kind


@transaction.atomic
def edit_kind(*, kind_id: int, version: int, changes: dict[str, Any], actor: User) -> NucKind:
    """Change a recipe or standard; nucs in hand are judged anew. Raises StaleRecord or KindImpossible."""
    seasons = list(Season.objects.filter(closed_on__isnull=True).order_by("pk"))
    for season in seasons:
        stamps.lock(season.pk, ["nucs"])
    kind = NucKind.objects.select_for_update(no_key=True).get(pk=kind_id)
    _refuse_impossible(NucKind(**{f.name: getattr(kind, f.name) for f in kind._meta.fields} | changes))
    sign(kind, actor)
    save_changes(kind, version, changes)
    nucs = Nuc.objects.select_for_update(no_key=True, of=("self",)).filter(kind=kind, state=Nuc.State.LAYING)
    refresh_ready_days(list(nucs.select_related("kind", "batch").order_by("pk")), actor=actor)
    for season in seasons:
        stamps.bump(season.pk, "nucs")
    return kind


@transaction.atomic
def install_reference_kinds() -> int:
    """Add the kinds of the reference file that are not there yet; returns how many were added. May run again."""
    rows = json.loads(REFERENCE_KINDS.read_text(encoding="utf-8"))
    known = set(NucKind.objects.values_list("code", flat=True))
    missing = [row for row in rows if row["code"] not in known]
    for row in missing:
        decimals = {name: Decimal(row[name]) for name in _DECIMALS}
        add_kind(actor=None, **{**row, **decimals})
    return len(missing)


def _refuse_impossible(kind: NucKind) -> None:
    try:
        kind.full_clean(validate_unique=False)
    except ValidationError as trouble:
        raise KindImpossible(" ".join(trouble.messages)) from trouble
