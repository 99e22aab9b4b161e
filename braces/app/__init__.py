"""The registry of products and the writer of the output folder."""
