"""Numbers only: arrays in, frozen results out. No files, no screen, no clock."""
