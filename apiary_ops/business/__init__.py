"""Who we are and when it is: settings, tax, deposit terms, seasons, and stamps that say what changed."""
