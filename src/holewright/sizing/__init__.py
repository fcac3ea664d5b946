"""What size comes out."""
