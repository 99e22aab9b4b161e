"""Independent solid-element models of braced plates, run with CalculiX, and how far the plate model is from them."""
