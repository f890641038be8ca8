"""What is left on a plant, exactly, from what was looked at and found."""
