"""Plane curves, profiles, domes and areas; no instrument words."""
