"""Measures an oscilloscope capture: the same core as the form of a signal check, without the database."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from restoration.engineering.captures import Capture, CaptureRefused, Trace, read_capture
from restoration.engineering.plots import format_part, format_si
from restoration.engineering.pulses import PulseMeasurement, Transition, as_json, measure
from restoration.proving.measuring import channel_of

REFUSED = 2
LEAST_TOLD = 1e-3  # part of its own uncertainty below which a figure says nothing
FIGURES = (
    ("low level", "low_level_v", "V"),
    ("high level", "high_level_v", "V"),
    ("amplitude", "amplitude_v", "V"),
    ("rise, 10–90 %", "rise_time_s", "s"),
    ("fall, 10–90 %", "fall_time_s", "s"),
    ("pulse duration", "pulse_duration_s", "s"),
    ("period", "period_s", "s"),
    ("frequency", "frequency_hz", "Hz"),
    ("duty", "duty", ""),
    ("jitter", "jitter_s", "s"),
    ("overshoot", "overshoot", ""),
    ("undershoot", "undershoot", ""),
    ("preshoot", "preshoot", ""),
    ("settling", "settling_s", "s"),
    ("ringing", "ringing_hz", "Hz"),
    ("noise, rms", "noise_rms_v", "V"),
)


class Command(BaseCommand):
    help = "Measures the pulses of an oscilloscope capture: levels, edges, durations, after IEEE 181."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="a capture saved as text: CSV or columns")
        parser.add_argument("--channel", default="", help="one channel only: its number from 1, or its name")
        parser.add_argument("--json", action="store_true", help="print JSON in SI units and nothing else")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            capture, channels = self._read(Path(options["file"]), options["channel"])
            measured = [measure(trace) for trace in channels]
        except (OSError, ValueError) as refusal:
            self._refuse(_sentence(options["file"], refusal), options["json"])
        if options["json"]:
            self._print_json(options["file"], capture, measured)
        else:
            self._print_words(options["file"], capture, measured)

    def _read(self, file: Path, wanted: str) -> tuple[Capture, list[Trace]]:
        capture = read_capture(file.read_bytes(), name=file.name)
        return capture, [channel_of(capture, wanted)] if wanted else list(capture.channels)

    def _refuse(self, sentence: str, as_json_too: bool) -> None:
        if as_json_too:
            self.stdout.write(json.dumps({"refused": [sentence]}, ensure_ascii=False))
        self.stderr.write(sentence)
        raise SystemExit(REFUSED)

    def _print_json(self, file: str, capture: Capture, measured: list[PulseMeasurement]) -> None:
        told = {
            "file": file,
            "shape": capture.shape,
            "channels": [as_json(one) for one in measured],
            "warnings": list(capture.warnings),
        }
        self.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=2))

    def _print_words(self, file: str, capture: Capture, measured: list[PulseMeasurement]) -> None:
        self.stdout.write(f"{Path(file).name}: {capture.shape}.")
        for sentence in capture.warnings:
            self.stdout.write(f"  Note: {sentence}")
        for one in measured:
            self.stdout.write("")
            for line in in_words(one):
                self.stdout.write(line)


def _sentence(file: str, refusal: OSError | ValueError) -> str:
    if isinstance(refusal, OSError):
        return f"The file {file} cannot be read: {refusal.strerror or refusal}."
    return str(refusal) if isinstance(refusal, CaptureRefused) else f"{Path(file).name}: {refusal}"


def in_words(one: PulseMeasurement) -> list[str]:
    """Write a measurement for people, one figure a line, with the reason where it could not be told."""
    interval = format_si(one.sample_interval_s, "s") if one.sample_interval_s else "an interval not known"
    edges = f"{one.rising_edges} rising and {one.falling_edges} falling edges"
    head = f"{one.name}: {one.samples} samples, {interval} apart; {one.polarity.value}, {edges}"
    span = f"from {format_si(one.minimum_v, one.unit)} to {format_si(one.maximum_v, one.unit)}"
    lines = [f"{head}; {span}.", *(_line(one, *figure) for figure in FIGURES)]
    return [*lines, *(f"  Note: {sentence}" for sentence in one.warnings)]


def _line(one: PulseMeasurement, words: str, field: str, unit: str) -> str:
    value = getattr(one, field)
    if isinstance(value, Transition):
        if value.value_s is None and value.at_most_s is not None:
            return f"  {words:<15} at most {format_si(value.at_most_s, unit)}"
        value = value.value_s
    if value is None:
        return f"  {words:<15} not known. {one.reasons.get(field, '')}".rstrip()
    doubt = one.expanded_uncertainty(field)
    if doubt and 0 < abs(value) < LEAST_TOLD * doubt:
        return f"  {words:<15} under {_written(doubt, unit, 2)}"
    return f"  {words:<15} {_written(value, unit)}{f' ± {_written(doubt, unit, 2)}' if doubt else ''}"


def _written(value: float, unit: str, digits: int = 4) -> str:
    return format_si(value, unit, digits) if unit else format_part(value)
