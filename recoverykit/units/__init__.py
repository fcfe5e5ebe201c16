"""Units: quantities, how they are shown and read, checked arguments; and how files are handled."""
