"""Pages for the PC at the machine and the tablet at the gauge."""
