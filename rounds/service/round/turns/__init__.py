"""Whose turn it is: plants that join the round, are put off, or are opened out of their turn."""
