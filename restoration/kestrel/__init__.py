"""The Kestrel Sands tide computer: the demonstration machine."""
