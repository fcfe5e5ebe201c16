"""Lesson 05, the weakest link."""
