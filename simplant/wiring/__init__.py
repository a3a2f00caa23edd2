"""Between plant and controller: the I/O list, points, relays, supplies, the safety chain."""
