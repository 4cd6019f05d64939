"""What people fill in, by noun."""
