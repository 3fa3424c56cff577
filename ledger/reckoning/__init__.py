"""The sums: pure functions of numbers and days, without database or clock."""
