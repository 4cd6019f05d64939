"""Captures as an oscilloscope at the rack would save them, made by the physical model of a link."""

from functools import cache

import numpy as np

from restoration.engineering.oscilloscope import Oscilloscope, digitise

HEADING = "second,Volt"


def pulse(amplitude_v=17.2, duration_s=2.4e-6, rise_s=0.38e-6, ring=0.06, rest_v=0.0, seed=1, samples=2000):
    """Volts of one pulse with a ringing top and the noise of a bench oscilloscope, and its times."""
    times_s = -1e-6 + np.arange(samples) * 4e-9
    up = np.interp(times_s, [0.0, rise_s], [0.0, 1.0])
    down = np.interp(times_s, [duration_s, duration_s + rise_s], [0.0, 1.0])
    shape = up - down
    for start_s, sign in ((rise_s, 1.0), (duration_s + rise_s, -1.0)):
        since_s = np.clip(times_s - start_s, 0.0, None)
        shape += sign * ring * np.sin(2 * np.pi * 3e6 * since_s) * np.exp(-since_s / 0.3e-6)
    volts = rest_v + amplitude_v * shape
    low, high = min(volts.min(), rest_v) - 2, volts.max() + 2
    scope = Oscilloscope(4e-9, samples, least_v=low, most_v=high, start_s=-1e-6, noise_rms_v=abs(amplitude_v) * 0.002)
    return times_s, digitise(scope, volts, np.random.default_rng(seed))


@cache
def capture(**shape) -> bytes:
    """The bytes of a one-channel capture."""
    times_s, volts = pulse(**shape)
    rows = "".join(f"{time:.9E},{volt:.5E}\r\n" for time, volt in zip(times_s, volts, strict=True))
    return f"{HEADING}\r\n{rows}".encode()


@cache
def two_channels(delay_samples=25) -> bytes:
    """The bytes of a capture with the source on CH1 and the load, a little later, on CH2."""
    times_s, source = pulse(amplitude_v=21.0, seed=2)
    load = np.roll(pulse(seed=3)[1], delay_samples)
    rows = "".join(f"{t:.9E},{a:.5E},{b:.5E}\n" for t, a, b in zip(times_s, source, load, strict=True))
    return f"x-axis,1,2\nsecond,Volt,Volt\n{rows}".encode()


def without_times() -> bytes:
    """The bytes of a capture that says nothing of time."""
    return "\n".join(f"{volt:.4f}" for volt in pulse()[1]).encode()
