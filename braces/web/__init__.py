"""The page: a design changed by looking, served to a browser on this machine and to nobody else."""
