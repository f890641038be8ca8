"""What is entered at the desk by keys: one function a form, each answers the screen to push."""
