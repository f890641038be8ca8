"""Courses of treatment: what there is, when each step is due, what was done, what it achieved."""
