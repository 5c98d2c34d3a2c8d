from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.costs.models import Supplier
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User


class SupplierExists(RuleBroken):
    pass


@transaction.atomic
def add_supplier(
    *,
    name: str,
    currency: str,
    phone: str = "",
    email: str = "",
    sells_queens: bool = False,
    notes: str = "",
    actor: User | None,
) -> Supplier:
    """Someone to buy from. Raises SupplierExists for a name already there, whatever its capitals."""
    _refuse_same_name(name, except_pk=0)
    supplier = Supplier(name=name, currency=currency, phone=phone, email=email, sells_queens=sells_queens, notes=notes)
    sign(supplier, actor)
    supplier.full_clean(validate_unique=False)
    try:
        with transaction.atomic():
            supplier.save()
    except IntegrityError:
        raise _exists(name) from None
    return supplier


@transaction.atomic
def edit_supplier(*, supplier_id: int, version: int, changes: dict[str, Any], actor: User) -> Supplier:
    """Change a supplier's particulars. Raises SupplierExists, or StaleRecord for a form opened before another save."""
    supplier = Supplier.objects.select_for_update(no_key=True).get(pk=supplier_id)
    _refuse_same_name(changes.get("name", supplier.name), except_pk=supplier.pk)
    sign(supplier, actor)
    save_changes(supplier, version, changes)
    return supplier


def _refuse_same_name(name: str, except_pk: int) -> None:
    if Supplier.objects.filter(name__iexact=name).exclude(pk=except_pk).exists():
        raise _exists(name)


def _exists(name: str) -> SupplierExists:
    return SupplierExists(_("%(name)s is already among the suppliers. Choose another name.") % {"name": name})
