"""What a person gets to see: one view, already worded and rounded, in several renderings."""
