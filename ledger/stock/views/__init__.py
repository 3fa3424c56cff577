"""The pages of stock."""
