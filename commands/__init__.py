"""What the commands of course.py do once the packages are there, one module a command."""
