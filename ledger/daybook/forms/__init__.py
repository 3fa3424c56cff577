"""The forms of the daybook."""
