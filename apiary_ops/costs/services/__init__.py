"""The doors through which suppliers, bills and payments are recorded."""

from .assumptions import state_cost_assumptions
from .bills import (
    BillAlreadyRecorded,
    BillCameWithGoods,
    BillIsEmpty,
    BillIsPaid,
    BillIsReversed,
    BillPart,
    DueBeforeBilled,
    record_bill,
    reverse_bill,
)
from .payments import Overpaid, PaymentIsReversed, pay_bill, reverse_payment
from .suppliers import SupplierExists, add_supplier, edit_supplier

__all__ = [
    "BillAlreadyRecorded",
    "BillCameWithGoods",
    "BillIsEmpty",
    "BillIsPaid",
    "BillIsReversed",
    "BillPart",
    "DueBeforeBilled",
    "Overpaid",
    "PaymentIsReversed",
    "SupplierExists",
    "add_supplier",
    "edit_supplier",
    "pay_bill",
    "record_bill",
    "reverse_bill",
    "reverse_payment",
    "state_cost_assumptions",
]
