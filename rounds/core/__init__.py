"""Pure sums over what was entered: no input, no output, no clock."""
