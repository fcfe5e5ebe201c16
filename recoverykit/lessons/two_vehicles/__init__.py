"""Lesson 07, two vehicles, one rope."""
