"""Bracing for flat-top guitars: from a design file to templates, solids, a cut list and numbers."""

__version__ = "0.1.0"
