"""What goes wrong around the course: the disk, the clock, the files, the start."""
