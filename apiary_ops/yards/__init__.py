"""What the yards hold: yards, colonies, visits, looks, grades, tasks and holds, as facts."""
