"""Writes of deposits, receipts, invoices and payments; each posts to the books in the same transaction."""

from .cancelling import cancel_line
from .deposits import (
    DepositStillAsked,
    DepositTooLarge,
    MoreThanHeld,
    NotByTheTerms,
    NothingStands,
    keep_deposit,
    refund_deposit,
    take_deposit,
)
from .invoices import AlreadyInvoiced, MoreThanOrdered, NothingToInvoice, NotOnThisOrder, issue_invoice
from .money import NoAmount
from .payments import MoreThanOwed, take_balance

__all__ = [
    "AlreadyInvoiced",
    "DepositStillAsked",
    "DepositTooLarge",
    "MoreThanHeld",
    "MoreThanOrdered",
    "MoreThanOwed",
    "NoAmount",
    "NotByTheTerms",
    "NotOnThisOrder",
    "NothingStands",
    "NothingToInvoice",
    "cancel_line",
    "issue_invoice",
    "keep_deposit",
    "refund_deposit",
    "take_balance",
    "take_deposit",
]
