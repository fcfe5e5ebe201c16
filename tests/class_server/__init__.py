"""A class on one server, with simulated learners."""
