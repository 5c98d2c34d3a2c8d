"""Pages of deposits, receipts, invoices and what is owed."""
