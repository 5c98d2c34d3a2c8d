"""Who works here: users, their roles, the access table, sign-in."""
