"""What if: the day a plant may rejoin, were things otherwise from now on. Nothing is written."""
