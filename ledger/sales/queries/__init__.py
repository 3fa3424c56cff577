"""Questions about sales, orders, papers and income."""
