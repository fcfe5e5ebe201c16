"""Lesson 01, energy at walking pace."""
