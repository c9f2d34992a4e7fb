"""Ringland: the bench book for whoever rebuilds the top end of a two-stroke engine."""
