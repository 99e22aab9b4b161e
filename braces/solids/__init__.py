"""The CAD kernel and the meshes; nothing else imports them."""
