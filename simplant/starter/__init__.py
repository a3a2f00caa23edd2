"""Beginning a machine: a small one that runs at once, or a draft from an I/O list."""
