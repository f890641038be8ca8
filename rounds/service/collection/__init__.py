"""What is said of plants and places: they come, move, are quarantined, are divided, and go."""
