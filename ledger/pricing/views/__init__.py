"""The pages of pricing."""
