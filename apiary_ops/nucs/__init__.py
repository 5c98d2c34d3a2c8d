"""Nucs: kinds with their recipes, split days, batches, numbered nucs, checks and readiness."""
