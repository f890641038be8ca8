"""What a day asks for: who is looked at and for how long, what else is due, what comes next."""
