"""Lesson 04, what the stamp means."""
