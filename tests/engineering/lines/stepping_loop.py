"""The plain way to the same volts, as an oracle: both ends stepped through time, one step after the other."""

import math

import numpy as np

from restoration.engineering.link_model import source_emf_v

STEPS_IN_A_DELAY = 4
STEPS_ON_AN_EDGE = 20
STEPS_IN_A_TIME_CONSTANT = 20


def stepped_volts(link, times_s, *, longest_step_s=None):
    """Line start and load of a link with a resistance beside a capacitance at its end, and nothing else fitted.

    F. H. Branin's method of characteristics with the trapezoidal rule for the capacitor.
    """
    delay_steps = math.ceil(link.line.delay_s / (longest_step_s or step_wanted_s(link)))
    step_s = link.line.delay_s / delay_steps
    before = math.ceil(max(0.0, link.source.start_s - times_s[0]) / step_s) + 1
    after = math.ceil(max(0.0, times_s[-1] - link.source.start_s) / step_s) + 1
    grid_s = link.source.start_s + step_s * np.arange(-before, after + 1)
    near_v, far_v = travel(link, source_emf_v(link.source, grid_s), delay_steps, step_s)
    return np.interp(times_s, grid_s, near_v), np.interp(times_s, grid_s, far_v)


def step_wanted_s(link):
    wanted = [link.line.delay_s / STEPS_IN_A_DELAY]
    wanted += [edge / STEPS_ON_AN_EDGE for edge in (link.source.rise_s, link.source.fall_s) if edge]
    if link.load.capacitance_f:
        conductance_s = link.load_conductance_s + 1.0 / link.line.impedance_ohm
        wanted.append(link.load.capacitance_f / conductance_s / STEPS_IN_A_TIME_CONSTANT)
    return min(wanted)


def travel(link, emf_v, delay_steps, step_s):
    z0 = link.line.impedance_ohm
    stepped = 2.0 * link.load.capacitance_f / step_s
    divisor = 1.0 + z0 * (link.load_conductance_s + stepped)
    rest_a = emf_v[0] * link.load_conductance_s / (1.0 + link.driving_ohm * link.load_conductance_s)
    load_v, capacitor_a = emf_v[0] - link.driving_ohm * rest_a, 0.0
    forward = [load_v + z0 * rest_a] * delay_steps
    backward = [load_v - z0 * rest_a] * delay_steps
    near_v, far_v = [], []
    for step, emf in enumerate(emf_v.tolist()):
        arriving = backward[step]
        start_v = arriving + z0 * (emf - arriving) / (link.driving_ohm + z0)
        history_a = stepped * load_v + capacitor_a
        load_v = (forward[step] + z0 * history_a) / divisor
        capacitor_a = stepped * load_v - history_a
        backward.append(2.0 * load_v - forward[step])
        forward.append(2.0 * start_v - arriving)
        near_v.append(start_v)
        far_v.append(load_v)
    return near_v, far_v
