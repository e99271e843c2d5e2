"""Bytes to scans and back: one module a format, found by content; text made safe for a terminal."""
