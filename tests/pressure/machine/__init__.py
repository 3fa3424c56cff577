"""Random verbs done in the ledger and in the plain account beside it: both do each, or both refuse it."""
