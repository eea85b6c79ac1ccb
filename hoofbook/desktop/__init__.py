"""The window: shows what casework returns. One folder per place; Qt is used nowhere else."""
