"""What stops a start."""


class Trouble(Exception):
    """One plain sentence that says what is so and what to do."""
