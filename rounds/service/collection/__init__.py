"""What is said of plants and places: they come, move, stand apart, are divided, and go."""
