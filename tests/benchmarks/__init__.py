"""Figures of speed and memory, each by its own command, never in a timed test."""
