"""Units read and written, tolerances, frozen arrays, problems."""
