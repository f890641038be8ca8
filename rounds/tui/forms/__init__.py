"""What is entered line by line by keys: one function a form, each answers the screen to push."""
