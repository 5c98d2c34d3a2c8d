"""The proofs that everything agrees, live all season."""
