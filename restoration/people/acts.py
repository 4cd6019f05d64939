"""Word that something was done about a person, for the log book, which stands above this app."""

from datetime import datetime

from django.dispatch import Signal

from restoration.people.models import Person

act_done = Signal()


def tell_act(*, act: str, sentence: str, by: Person | None, person: Person | None, at: datetime) -> None:
    """Say, inside the transaction of the act, what was done; `person` is whom it is about, if written down yet."""
    act_done.send(sender=None, act=act, sentence=sentence, by=by, person=person, at=at)
