"""How the cut behaves: arrays in, arrays out."""
