"""The pages of drying."""
