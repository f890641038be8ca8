"""Looks and counts entered by hand, and how an entry of any kind is put right."""
