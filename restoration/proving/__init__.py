"""Cold checks, bench tests, joining, ring-outs and signal checks."""
