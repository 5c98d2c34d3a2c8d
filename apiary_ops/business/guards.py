from apiary_ops.core.guards import append_only, refuse

GUARDS = [
    *append_only("business_terms", "Deposit terms never change once stated; state new terms with a later date."),
    *append_only("business_taxrate", "A tax rate never changes; add one valid from a later date."),
    refuse("business_season", "delete", "true", "A season is never deleted.", name="business_season_kept"),
]
