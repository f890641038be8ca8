"""What the grower's own log tells of the values that are assumed of every grower."""
