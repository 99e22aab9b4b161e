"""Tables, JSON and CSV."""
