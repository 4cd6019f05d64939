"""Leave to use something that differs, given afterwards and with a reason."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from restoration.proving.models.chassis_checks import BenchTest
from restoration.proving.models.signal_checks import SignalCheck
from restoration.proving.models.wire_checks import RingOut


class Concession(models.Model):
    """What was outside its limits, why it is accepted all the same, and until when."""

    bench_test = models.OneToOneField(
        BenchTest, null=True, blank=True, on_delete=models.PROTECT, related_name="concession"
    )
    ring_out = models.OneToOneField(RingOut, null=True, blank=True, on_delete=models.PROTECT, related_name="concession")
    signal_check = models.OneToOneField(
        SignalCheck, null=True, blank=True, on_delete=models.PROTECT, related_name="concession"
    )
    reason = models.TextField()
    given_at = models.DateTimeField(default=timezone.now)
    given_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["given_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=(
                    Q(bench_test__isnull=False, ring_out=None, signal_check=None)
                    | Q(bench_test=None, ring_out__isnull=False, signal_check=None)
                    | Q(bench_test=None, ring_out=None, signal_check__isnull=False)
                ),
                name="concession_on_one_record",
                violation_error_message="A concession is given on one record.",
            ),
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="concession_says_why",
                violation_error_message="A concession says why.",
            ),
        ]

    def __str__(self) -> str:
        return f"concession {self.pk}"
