"""What a design says of its inside: which inputs reach which outputs, and which stage restores the pulse."""

from django.db import models

from restoration.machine.models.designs import Design


class Stage(models.Model):
    """A stage of a design: every input of it reaches every output of it.

    A barrier restores amplitude and timing, so that what is wrong before it is not seen behind it. A design
    without stages is taken as one stage that restores nothing.
    """

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="stages")
    name = models.CharField(max_length=80)
    is_barrier = models.BooleanField(default=False)
    parts = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["design", "name"],
                name="stage_once_in_design",
                violation_error_message="This design has a stage of that name already.",
            )
        ]

    def __str__(self) -> str:
        return self.name


class Way(models.TextChoices):
    """Into a stage, or out of it."""

    IN = "in", "in"
    OUT = "out", "out"


class StagePort(models.Model):
    """A terminal, by its mark on the drawing, through which a signal enters or leaves a stage."""

    stage = models.ForeignKey(Stage, on_delete=models.CASCADE, related_name="ports")
    terminal = models.CharField(max_length=60)
    way = models.CharField(max_length=3, choices=Way.choices)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["stage", "terminal", "way"],
                name="port_once_in_stage",
                violation_error_message="This stage names that terminal already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.stage} {self.way} {self.terminal}"


class WiringStamp(models.Model):
    """A mark that the database renews whenever the wiring is written to; who keeps the wiring in memory compares it."""

    stamp = models.CharField(max_length=64)

    def __str__(self) -> str:
        return self.stamp
