from apiary_ops.core.guards import append_only, refuse

LINES_OF_SEAL = (
    "FROM books_line JOIN books_entry ON books_entry.id = books_line.entry_id WHERE books_entry.sealed_id = NEW.id"
)

GUARDS = [
    # The seal comes last. Without it an entry cannot commit (its foreign key is deferred), after it nothing changes.
    refuse(
        "books_seal",
        "insert",
        f"(SELECT COUNT(*) {LINES_OF_SEAL}) < 2",
        "An entry has at least two lines before it is sealed.",
        name="books_seal_needs_two_lines",
    ),
    refuse(
        "books_seal",
        "insert",
        f"(SELECT COALESCE(SUM(books_line.cents), 0) {LINES_OF_SEAL}) <> 0",
        "The lines of an entry sum to zero before it is sealed.",
        name="books_seal_needs_zero_sum",
    ),
    *append_only("books_seal", "A seal is never broken; reverse the entry instead."),
    *append_only("books_entry", "An entry never changes; reverse it and post it anew."),
    *append_only("books_line", "A posted line never changes; reverse its entry and post it anew."),
    refuse(
        "books_line",
        "insert",
        "EXISTS (SELECT 1 FROM books_entry JOIN books_seal ON books_seal.id = books_entry.sealed_id"
        " WHERE books_entry.id = NEW.entry_id)",
        "A sealed entry takes no more lines.",
        name="books_line_not_after_the_seal",
    ),
    # Periods: posting services hold a share lock on the row, so this cannot race with locking.
    refuse(
        "books_entry",
        "insert",
        "EXISTS (SELECT 1 FROM books_period WHERE id = NEW.period_id AND locked_at IS NOT NULL)",
        "This period is locked; post into an open one.",
        name="books_entry_not_in_locked_period",
    ),
    refuse(
        "books_entry",
        "insert",
        "EXISTS (SELECT 1 FROM books_period WHERE id = NEW.period_id"
        " AND (NEW.posted_on < starts_on OR NEW.posted_on >= ends_before))",
        "The day of an entry lies in its period.",
        name="books_entry_day_in_its_period",
    ),
    refuse(
        "books_period",
        "insert",
        "EXISTS (SELECT 1 FROM books_period WHERE starts_on < NEW.ends_before AND ends_before > NEW.starts_on)",
        "Periods do not overlap.",
        name="books_period_no_overlap",
    ),
    refuse(
        "books_period",
        "update of fiscal_year, starts_on, ends_before",
        "true",
        "The days of a period never change.",
        name="books_period_days_stay",
    ),
    refuse(
        "books_period",
        "update",
        "OLD.locked_at IS NOT NULL",
        "A locked period stays locked.",
        name="books_period_stays_locked",
    ),
    refuse("books_period", "delete", "true", "A period is never deleted.", name="books_period_kept"),
    # Series: gapless whatever happens.
    refuse(
        "books_series",
        "insert",
        "NEW.last_number <> 0",
        "A series starts at zero.",
        name="books_series_starts_at_zero",
    ),
    refuse(
        "books_series",
        "update",
        "NEW.last_number <> OLD.last_number + 1 OR NEW.code <> OLD.code OR NEW.year <> OLD.year",
        "A series moves on by one number at a time.",
        name="books_series_by_one",
    ),
    refuse("books_series", "delete", "true", "A series is never deleted.", name="books_series_kept"),
    # Accounts: a name may be bettered; what the account is, and what code calls it, stays.
    refuse(
        "books_account",
        "update",
        "NEW.key <> OLD.key OR NEW.kind <> OLD.kind OR NEW.is_contra <> OLD.is_contra",
        "What an account is never changes; add another account.",
        name="books_account_stays_what_it_is",
    ),
]
