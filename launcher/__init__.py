"""All that course.py does, one module a subject, and what Jupyter is told.

Until the packages are installed only the standard library may be imported: so do all modules here
but export, present, lesson_cells and print_cells.
"""
