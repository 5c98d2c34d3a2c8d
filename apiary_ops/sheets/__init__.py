"""Tables in and out: files read whole or refused by line, and imports that can be undone."""
