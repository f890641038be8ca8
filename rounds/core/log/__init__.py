"""What was entered, and what of it still stands."""
