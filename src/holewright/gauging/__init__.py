"""What the readings say of size."""
