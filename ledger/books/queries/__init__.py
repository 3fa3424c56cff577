"""Questions of the books: where everything is, what beds earned, what stock is worth, the proof."""
