from apiary_ops.core.guards import refuse, state_path

# What may become of a record from a phone; the guard and the diagram in DEVELOPERS.md are made from this.
RECORD_PATHS: dict[str, tuple[str, ...]] = {
    "waiting": ("landed", "question", "refused", "dropped"),
    "question": ("landed", "dropped"),
    "refused": ("landed", "question", "dropped"),
    "landed": (),
    "dropped": (),
}

_SAID = ("key", "kind", "payload_version", "observed_at", "device")

GUARDS = [
    state_path("fieldbook_record", "state", RECORD_PATHS, "field record"),
    refuse("fieldbook_record", "delete", "true", "A field record is never deleted; settle it.", name="record_kept"),
    refuse(
        "fieldbook_record",
        "update",
        " OR ".join(f"NEW.{column} <> OLD.{column}" for column in _SAID),
        "What a phone sent stays as it was sent.",
        name="record_stays_as_sent",
    ),
]
