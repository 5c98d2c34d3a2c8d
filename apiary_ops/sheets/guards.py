from apiary_ops.core.guards import refuse, state_path

# What may become of a file; the guard and the diagram in DEVELOPERS.md are made from this.
IMPORT_PATHS: dict[str, tuple[str, ...]] = {
    "read": ("done",),
    "done": ("undone",),
    "undone": (),
}

GUARDS = [
    state_path("sheets_importrun", "state", IMPORT_PATHS, "file"),
    refuse(
        "sheets_importrun",
        "delete",
        "OLD.state <> 'read'",
        "An import that was carried out is never deleted; undo it.",
        name="sheets_importrun_kept",
    ),
]
