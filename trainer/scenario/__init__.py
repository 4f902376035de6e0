"""The file an instructor assigns, its variants by seed, and whether it can be used."""
