"""Classroom: the progress of a class, before and after."""
