"""Lesson 06, what holds the vehicle."""
