"""The pages of growing."""
