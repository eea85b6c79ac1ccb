"""What every program needs and no trade word names: files, settings, shipped things, time, log, crash reports."""
