"""Units: quantities, how they are shown and read, and checked arguments."""
