"""How size goes with the holes a tool has cut: when to change it, and what a run risks."""
