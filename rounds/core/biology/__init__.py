"""How a day's warmth moves the pest on."""
