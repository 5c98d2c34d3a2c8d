from apiary_ops.core.guards import append_only, refuse, state_path

# What may become of a colony; the guard and the diagram in DEVELOPERS.md are made from this.
COLONY_PATHS: dict[str, tuple[str, ...]] = {
    "live": ("lost", "united", "sold"),
    "lost": (),
    "united": (),
    "sold": (),
}

GUARDS = [
    *append_only("yards_graderule", "Grade rules never change; state new ones valid from a later day."),
    *append_only("yards_factor", "A factor never changes; state a new one valid from a later day."),
    state_path("yards_colony", "state", COLONY_PATHS, "colony"),
    refuse(
        "yards_colony", "delete", "true", "A colony is never deleted; end it with its cause.", name="yards_colony_kept"
    ),
    refuse("yards_look", "delete", "true", "A look is never deleted; correct it.", name="yards_look_kept"),
    refuse("yards_hold", "delete", "true", "A hold is never deleted; end it with its reason.", name="yards_hold_kept"),
    refuse(
        "yards_hold",
        "update",
        "OLD.ended_on IS NOT NULL",
        "A hold that ended stays as it is; place a new one.",
        name="yards_hold_ended",
    ),
]
