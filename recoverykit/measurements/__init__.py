"""Measurements: load-cell pulls read, checked and fitted."""
