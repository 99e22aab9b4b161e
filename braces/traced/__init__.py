"""A maker's own mould outline, drawn or measured, turned into an outline file a design refers to."""
