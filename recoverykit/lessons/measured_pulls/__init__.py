"""Lesson 08, measured pulls."""
