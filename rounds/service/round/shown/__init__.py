"""A round put into words: what is asked, what a press is answered with, what the screen shows."""
