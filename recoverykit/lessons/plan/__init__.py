"""Lesson 10, plan a pull."""
