"""Volunteers, what each may do, and how they sign in."""
