"""What each screen says, as a page of text: pure functions of a view."""
