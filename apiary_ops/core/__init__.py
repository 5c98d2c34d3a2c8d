"""Plumbing every page stands on: forms, tables, panels, history, database guards, once-keys."""
