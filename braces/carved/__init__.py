"""Each brace as wood: glue face, profile, section, joints, blank."""
