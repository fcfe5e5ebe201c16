"""What makes exported pages live: all that they can show and say, worked out beforehand as data."""
