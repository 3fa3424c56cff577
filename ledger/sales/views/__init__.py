"""The pages of sales."""
