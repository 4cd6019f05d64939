"""Arithmetic and judgement of the workshop, free of the web framework: one idea a module."""
