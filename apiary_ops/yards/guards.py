from apiary_ops.core.guards import Guard, append_only, refuse, state_path

# What may become of a colony; the guard and the diagram in DEVELOPERS.md are made from this.
COLONY_PATHS: dict[str, tuple[str, ...]] = {
    "live": ("lost", "united", "sold"),
    "lost": (),
    "united": (),
    "sold": (),
}


def _kept(table: str, message: str, *, unless: str = "") -> Guard:
    return refuse(table, "delete", unless or "true", message, name=f"{table}_kept")


# What came with an import goes with it when the import is undone; history keeps what it said.
_NOT_IMPORTED = "OLD.import_run_id IS NULL"

GUARDS = [
    *append_only("yards_graderule", "Grade rules never change; state new ones valid from a later day."),
    *append_only("yards_factor", "A factor never changes; state a new one valid from a later day."),
    state_path("yards_colony", "state", COLONY_PATHS, "colony"),
    _kept("yards_colony", "A colony is never deleted; end it with its cause.", unless=_NOT_IMPORTED),
    _kept("yards_look", "A look is never deleted; correct it.", unless=_NOT_IMPORTED),
    _kept("yards_hold", "A hold is never deleted; end it with its reason."),
    refuse(
        "yards_hold",
        "update",
        "OLD.ended_on IS NOT NULL",
        "A hold that ended stays as it is; place a new one.",
        name="yards_hold_ended",
    ),
    _kept("yards_framemove", "A frame move is never deleted; strike it with the reason."),
    refuse(
        "yards_framemove",
        "update",
        "OLD.struck_on IS NOT NULL OR NEW.from_colony_id <> OLD.from_colony_id "
        "OR NEW.to_colony_id <> OLD.to_colony_id OR NEW.brood_frames <> OLD.brood_frames "
        "OR NEW.food_frames <> OLD.food_frames OR NEW.moved_on <> OLD.moved_on",
        "A frame move never changes; strike it and record the right one.",
        name="yards_framemove_stays",
    ),
    _kept("yards_treatment", "A treatment is never deleted; end it."),
    _kept("yards_mitewash", "A mite wash is never deleted; correct it."),
    _kept("yards_broodcheck", "A brood check is never deleted; correct it."),
    *append_only("yards_fencecheck", "A fence check never changes; walk the fence again."),
]
