"""Money with buyers: deposits, payments, receipts, invoices and refunds."""
