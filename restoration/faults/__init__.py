"""The fault log of each interconnect."""
