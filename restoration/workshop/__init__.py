"""The builder's work, from allotting to hand-over and receiving."""
