"""Course: the frame that every lesson stands on."""
