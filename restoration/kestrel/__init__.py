"""The demonstration: the Kestrel Sands tide computer, half rebuilt. Everything here is invented."""
