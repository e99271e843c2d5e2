"""A folder of scans: what is in it, what the user said about it, and where to find it."""
