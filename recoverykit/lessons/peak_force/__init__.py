"""Lesson 03, peak force against speed."""
