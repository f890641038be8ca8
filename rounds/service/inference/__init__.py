"""What the log says of each plant: likely clean, how many are left, the risk of leaving it."""
