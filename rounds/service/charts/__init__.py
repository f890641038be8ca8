"""Charts as frozen values: each says what is seen, and has the same as rows of text."""
