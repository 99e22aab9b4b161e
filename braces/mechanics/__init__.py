"""Stiffness, weight and movement: woods measured, braces as beams, the braced plate under string load."""
