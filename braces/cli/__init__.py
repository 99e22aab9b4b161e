"""The command line. What makes a short run start quickly is set here, before anything else is imported."""

import gc
import os

# A short run makes little garbage; looking for it a hundred times is a tenth of the start-up.
gc.set_threshold(50_000, 20, 50)
# Looking for plug-ins of the validator reads the metadata of every installed package: another tenth.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
