from apiary_ops.core.guards import append_only, keep_total, refuse

# The state path of a nuc is made from Nuc.PATHS and registered beside these in apps.py.
GUARDS = [
    *keep_total(child="nucs_nuc", parent="nucs_batch", link="batch_id", total="made", amount="1"),
    *append_only("nucs_check", "A check never changes; look again and record what you see."),
    *append_only("nucs_donation", "Frames given never change; record what was given next."),
    refuse(
        "nucs_nuc",
        "insert",
        "NOT EXISTS (SELECT 1 FROM nucs_batch WHERE id = NEW.batch_id AND kind_id = NEW.kind_id"
        " AND season_id = NEW.season_id)",
        "A nuc is of the kind and season of its batch.",
        name="nucs_nuc_is_of_its_batch",
    ),
    refuse(
        "nucs_nuc",
        "update",
        "NEW.number <> OLD.number OR NEW.season_id <> OLD.season_id OR NEW.batch_id <> OLD.batch_id"
        " OR NEW.kind_id <> OLD.kind_id",
        "A nuc keeps its number, its batch and its kind.",
        name="nucs_nuc_keeps_its_number",
    ),
    refuse("nucs_nuc", "delete", "true", "A nuc is never deleted; record what became of it.", name="nucs_nuc_kept"),
    refuse(
        "nucs_batch",
        "update",
        "NEW.split_day_id <> OLD.split_day_id OR NEW.kind_id <> OLD.kind_id OR NEW.season_id <> OLD.season_id"
        " OR NEW.made_on <> OLD.made_on OR NEW.size <> OLD.size",
        "A batch stays as it was made.",
        name="nucs_batch_stays_as_made",
    ),
    refuse("nucs_batch", "delete", "true", "A batch is never deleted.", name="nucs_batch_kept"),
    refuse(
        "nucs_check",
        "insert",
        "EXISTS (SELECT 1 FROM nucs_nuc JOIN nucs_batch ON nucs_batch.id = nucs_nuc.batch_id"
        " WHERE nucs_nuc.id = NEW.nuc_id AND nucs_batch.made_on > NEW.checked_on)",
        "A nuc cannot be checked before it was made up.",
        name="nucs_check_after_make_up",
    ),
]
