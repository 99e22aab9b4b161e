"""A design file read, checked and kept as frozen values in mm."""
