"""Physics: ropes, rigging, pulls in closed form and in time, ground, recoil, plans."""
