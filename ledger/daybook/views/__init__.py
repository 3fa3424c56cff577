"""The pages of the daybook."""
