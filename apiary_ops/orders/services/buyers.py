from typing import Any

from django.db import transaction

from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.orders.compute import phone_key, search_key
from apiary_ops.orders.models import Buyer
from apiary_ops.people.models import User


@transaction.atomic
def add_buyer(
    *,
    name: str,
    phone: str = "",
    email: str = "",
    address: str = "",
    tier: str = Buyer.Tier.NEW,
    notes: str = "",
    actor: User | None,
) -> Buyer:
    """A new buyer. Likely duplicates are for the page to show (queries.likely_duplicates); they do not refuse."""
    buyer = Buyer(name=" ".join(name.split()), phone=phone.strip(), email=email.strip())
    buyer.address, buyer.tier, buyer.notes = address.strip(), tier, notes.strip()
    buyer.search_key, buyer.phone_key = search_key(buyer.name), phone_key(buyer.phone)
    sign(buyer, actor)
    buyer.full_clean()
    buyer.save(force_insert=True)
    return buyer


@transaction.atomic
def edit_buyer(*, buyer_id: int, version: int, changes: dict[str, Any], actor: User) -> Buyer:
    """Change a buyer's particulars. Papers already issued keep what they printed. Raises StaleRecord."""
    buyer = Buyer.objects.select_for_update(no_key=True).get(pk=buyer_id)
    keys: dict[str, Any] = {}
    if "name" in changes:
        keys["search_key"] = search_key(changes["name"])
    if "phone" in changes:
        keys["phone_key"] = phone_key(changes["phone"])
    sign(buyer, actor)
    save_changes(buyer, version, changes | keys)
    return buyer
