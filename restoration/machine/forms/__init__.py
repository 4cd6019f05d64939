"""What is asked for when the machine's records are written, by what it is about."""
