"""Wires as lines: their figures from geometry, reflections, the wave at both ends in time, damping and termination."""
