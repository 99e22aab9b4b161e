"""What the shop book says, as values that HTML and PDF are both made from."""
