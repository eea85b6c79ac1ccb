"""Photos large on neutral grey, with marks and drawings: shared by Bench and Then and now."""
