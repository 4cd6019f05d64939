"""What a design says of its terminals as ends of a wire, and what the wires themselves are."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.common.versions import Versioned
from restoration.machine.models.designs import Design


class Basis(models.TextChoices):
    """Where a figure about a terminal comes from."""

    DRAWING = "drawing", "from the drawing"
    MEASURED = "measured", "measured"
    RECKONED = "reckoned", "reckoned from the circuit"
    GUESSED = "guessed", "a guess"


class TerminalFigures(models.Model):
    """What a terminal of a design drives with, or what it asks of whoever drives it; by its mark on the drawing.

    `drive_most_a` is the greatest current that the stage can give while the pulse is at its height. A grid's load
    is its leak `load_ohm` beside its capacitance `load_f` (Miller's part in it), behind `grid_stopper_ohm`.
    """

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="terminal_figures")
    terminal = models.CharField(max_length=60)
    drive_ohm = models.FloatField(null=True, blank=True)
    drive_most_a = models.FloatField(null=True, blank=True)
    load_ohm = models.FloatField(null=True, blank=True)
    load_f = models.FloatField(null=True, blank=True)
    grid_stopper_ohm = models.FloatField(null=True, blank=True)
    basis = models.CharField(max_length=20, choices=Basis.choices, default=Basis.DRAWING)
    remarks = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["design", "terminal"]
        constraints = [
            models.UniqueConstraint(
                fields=["design", "terminal"],
                name="terminal_figures_once",
                violation_error_message="This design says that of this terminal already.",
            ),
            models.CheckConstraint(
                condition=(Q(drive_ohm=None) | Q(drive_ohm__gte=0))
                & (Q(drive_most_a=None) | Q(drive_most_a__gt=0))
                & (Q(load_ohm=None) | Q(load_ohm__gt=0))
                & (Q(load_f=None) | Q(load_f__gte=0))
                & (Q(grid_stopper_ohm=None) | Q(grid_stopper_ohm__gte=0)),
                name="terminal_figures_not_below_zero",
                violation_error_message="Resistances, capacitances and currents of a terminal are not below zero.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.design.number} terminal {self.terminal}"


class WireForm(models.TextChoices):
    """How a wire lies to what carries its current back."""

    OVER_CHASSIS = "over chassis", "single wire over metal"
    TWIN = "twin", "two wires side by side"
    SCREENED = "screened", "screened (coaxial)"


class WireKind(Versioned):
    """A kind of wire by the name that the wire list gives it; lengths in metres.

    `spacing_m` is the height of the wire's centre over the metal, or the distance of two wires' centres, or the
    inner diameter of the screen.
    """

    name = models.CharField(max_length=60, unique=True)
    form = models.CharField(max_length=20, choices=WireForm.choices)
    conductor_m = models.FloatField()
    spacing_m = models.FloatField()
    permittivity = models.FloatField(default=1.0)
    remarks = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(conductor_m__gt=0, spacing_m__gt=0, permittivity__gte=1),
                name="wire_kind_can_be",
                violation_error_message="Diameter and spacing are above zero, and a permittivity is 1 or more.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("machine:wire-kind-edit", args=[self.pk])
