"""Lesson 02, the rope is a spring."""
