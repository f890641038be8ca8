"""A delivery: how many of like plants to open, what speaks for taking them, how they come in."""
