"""How a coil or a damped inductor is wound."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from restoration.common.versions import Versioned
from restoration.machine.models import Design


class Winding(models.TextChoices):
    """How the turns lie."""

    SINGLE = "single layer", "single layer"
    MULTI = "multilayer", "multilayer"


class CoilRecipe(Versioned):
    """How one kind of coil is made; lengths in metres, the rest in SI units.

    `former_m` is the diameter of the former or of the resistor body that the coil is wound on, `bare_m` and
    `covered_m` the diameter of the wire without and with its covering, `pitch_m` from turn to turn (empty: close
    wound). `body_ohm` is the resistor that the coil is wound on and damped by; `stray_f` what it works with.
    """

    code = models.CharField(max_length=60, unique=True)
    title = models.CharField(max_length=120)
    purpose = models.TextField(blank=True)
    designs = models.ManyToManyField(Design, related_name="coil_recipes", blank=True)
    winding = models.CharField(max_length=20, choices=Winding.choices, default=Winding.SINGLE)
    former_m = models.FloatField()
    winding_length_m = models.FloatField(null=True, blank=True)
    wire = models.CharField(max_length=60, blank=True)
    bare_m = models.FloatField()
    covered_m = models.FloatField()
    pitch_m = models.FloatField(null=True, blank=True)
    turns = models.PositiveIntegerField()
    layers = models.PositiveIntegerField(default=1)
    wanted_h = models.FloatField(null=True, blank=True)
    tolerance = models.FloatField(null=True, blank=True)
    body_ohm = models.FloatField(null=True, blank=True)
    body_tolerance = models.FloatField(null=True, blank=True)
    body_w = models.FloatField(null=True, blank=True)
    stray_f = models.FloatField(null=True, blank=True)
    finish = models.TextField(blank=True)
    remarks = models.TextField(blank=True)

    class Meta:
        ordering = ["code"]
        constraints = [
            models.CheckConstraint(
                condition=Q(former_m__gt=0, bare_m__gt=0, turns__gt=0, layers__gt=0),
                name="coil_has_a_former_wire_and_turns",
                violation_error_message="A coil has a former, a wire and at least one turn, each above zero.",
            ),
            models.CheckConstraint(
                condition=Q(covered_m__gte=models.F("bare_m")),
                name="covered_wire_not_thinner",
                violation_error_message="Wire with its covering is not thinner than without.",
            ),
        ]

    def __str__(self) -> str:
        return f"coil {self.code}"

    def get_absolute_url(self) -> str:
        return reverse("workshop:coil", args=[self.code])
