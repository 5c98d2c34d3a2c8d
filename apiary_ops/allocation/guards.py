from apiary_ops.core.guards import append_only, refuse

GUARDS = [
    *append_only("allocation_place", "A place in a plan never changes; propose a new plan."),
    refuse("allocation_plan", "delete", "true", "A plan is never deleted.", name="allocation_plan_kept"),
    refuse(
        "allocation_plan",
        "update of season_id, made_at, made_by_id",
        "true",
        "What a plan is never changes; propose a new one.",
        name="allocation_plan_stays",
    ),
    refuse(
        "allocation_plan",
        "update of accepted_at, accepted_by_id, stamps",
        "OLD.accepted_at IS NOT NULL",
        "A plan is accepted once.",
        name="allocation_plan_accepted_once",
    ),
    refuse(
        "allocation_plan",
        "update of is_standing",
        "NEW.is_standing AND NOT OLD.is_standing AND OLD.accepted_at IS NOT NULL",
        "A plan that was replaced does not stand again; propose a new one.",
        name="allocation_plan_stands_once",
    ),
    refuse(
        "allocation_place",
        "insert",
        "EXISTS (SELECT 1 FROM allocation_plan WHERE id = NEW.plan_id AND accepted_at IS NOT NULL)",
        "An accepted plan takes no more places.",
        name="allocation_place_not_after_acceptance",
    ),
    # A binding goes from live to released, once; what it bound stays on record.
    refuse(
        "allocation_binding",
        "insert",
        "NEW.released_at IS NOT NULL",
        "A binding starts live.",
        name="allocation_binding_starts_live",
    ),
    refuse(
        "allocation_binding",
        "update of nuc_id, line_id, bound_at, bound_by_id",
        "true",
        "A binding never changes; release it and bind anew.",
        name="allocation_binding_stays",
    ),
    refuse(
        "allocation_binding",
        "update",
        "OLD.released_at IS NOT NULL",
        "A released binding stays as it is.",
        name="allocation_binding_released_once",
    ),
    refuse(
        "allocation_binding",
        "delete",
        "true",
        "A binding is never deleted; release it.",
        name="allocation_binding_kept",
    ),
]
