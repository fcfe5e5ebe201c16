"""Lesson 09, when something lets go."""
