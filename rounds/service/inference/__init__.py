"""What the log says of each plant: chance clean, how many are left, the risk of leaving it."""
