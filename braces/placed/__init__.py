"""Where everything runs on the body: outline, domes, rim, braces, crossings, ends."""
