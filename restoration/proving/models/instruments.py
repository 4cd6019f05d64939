"""What things were measured with."""

from django.db import models

from restoration.common.versions import Versioned


class InstrumentKind(models.TextChoices):
    """What an instrument is for."""

    OSCILLOSCOPE = "oscilloscope", "oscilloscope"
    METER = "meter", "meter"
    INSULATION = "insulation tester", "insulation tester"


class Instrument(Versioned):
    """A measuring instrument, by the mark on it."""

    mark = models.CharField(max_length=60, unique=True)
    kind = models.CharField(max_length=20, choices=InstrumentKind.choices)
    description = models.CharField(max_length=120, blank=True)
    bandwidth_hz = models.FloatField(null=True, blank=True)
    gain_accuracy = models.FloatField(
        default=0.03, help_text="Largest error of the vertical scale, as a fraction of the reading."
    )
    check_due_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["mark"]

    @property
    def gain_accuracy_percent(self) -> float:
        """The largest error of its scale as people write it."""
        return self.gain_accuracy * 100

    def __str__(self) -> str:
        return f"{self.mark}, {self.kind}"
