"""What any form on the site needs of the database: a memory of posts already stored."""

from django.db import models
from django.utils import timezone


class StoredPost(models.Model):
    """One form as sent; a second post with the same token finds this row and stores nothing."""

    token = models.UUIDField(primary_key=True)
    address = models.CharField(max_length=500)
    stored_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"{self.token} → {self.address}"
