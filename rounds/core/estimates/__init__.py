"""Published formulas, each on its own: what counts say without the whole of the inference."""
