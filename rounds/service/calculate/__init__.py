"""Published sums on their own: what is given is checked, and what comes out says how it was got."""
