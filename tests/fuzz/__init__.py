"""Hostile and random input through every way in."""
