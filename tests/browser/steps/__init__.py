"""Named steps of a season, each through the pages alone."""
