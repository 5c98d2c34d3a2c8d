"""Work without signal: facts recorded on a phone, each landed once; what a rule refused waits for a person."""
