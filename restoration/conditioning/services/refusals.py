"""What a modification note must say before it is stored, and what it cannot say."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.utils import timezone

from restoration.conditioning.models import ModificationNote, NoteClass, Prediction
from restoration.conditioning.outcomes import same_parts
from restoration.engineering.in_place.arrangement import Arrangement, Fitted
from restoration.machine.models import Interconnect
from restoration.people.models import Person

SAME_VALUE = 1e-6  # a part of a part: values that were written out and read again are the same
NO_PLACE = "Say where the parts are, such as at terminal 2 of slot C-04."
NO_WAY_BACK = "Say how it is undone; if it cannot be undone, say that."
NO_ORIGINAL = "A part took the place of another: say where the original is kept, labelled."
NO_SECOND = "A part put on at the rack is seen by a second person; say who."
LONGEST = 200


def refuse_note(
    *,
    link: Interconnect,
    newest: ModificationNote | None,
    is_seen: bool,
    before: Arrangement,
    after: Arrangement,
    parts: Sequence[Any],
    kind: NoteClass,
    words: Mapping[str, str],
    second_person: Person | None,
    prediction: Prediction | None,
) -> None:
    """Refuse a note that does not say enough, or says what cannot be; each in a sentence."""
    if not is_seen:
        raise ValidationError(_meanwhile(link, newest))
    problems = dict(_missing(kind, words, second_person))
    if problems:
        raise ValidationError(problems)
    sentences = [*_unlike(link, before, after, kind), *_parts_astray(before, after, parts)]
    sentences += _foretold_astray(link, after, prediction)
    if sentences:
        raise ValidationError(sentences)


def _meanwhile(link: Interconnect, newest: ModificationNote | None) -> str:
    if newest is None:
        return (
            f"The note that this one starts from is no longer in force on link {link.code}. Begin again from its page."
        )
    at = timezone.localtime(newest.change.entered_at)
    return (
        f"Meanwhile {newest.change.entered_by} wrote modification note {newest.pk} for link {link.code}, on "
        f"{at:%d %b %Y, %H:%M}. Read it before you write another; nothing was stored."
    )


def _missing(kind: NoteClass, words: Mapping[str, str], second_person: Person | None) -> Iterator[tuple[str, str]]:
    if not words["place"].strip():
        yield "place", NO_PLACE
    if not words["undone_how"].strip():
        yield "undone_how", NO_WAY_BACK
    if kind == NoteClass.VALUE and not words["original_kept"].strip():
        yield "original_kept", NO_ORIGINAL
    if second_person is None:
        yield "second_person", NO_SECOND
    for name in ("place", "original_kept"):
        if len(words[name].strip()) > LONGEST:
            yield name, f"Say it in {LONGEST} letters at most; there is room for more under why."


def _unlike(link: Interconnect, before: Arrangement, after: Arrangement, kind: NoteClass) -> Iterator[str]:
    is_same = same_parts(before.as_dict(), after.as_dict())
    on_it = before.words
    if kind == NoteClass.REROUTED and not is_same:
        yield (
            f"A wire led another way and parts put on it are two notes: this one would also turn {on_it} on link "
            f"{link.code} into {after.words}."
        )
    if kind != NoteClass.REROUTED and is_same:
        yield f"That is what link {link.code} has already: {on_it}. A note says what is different now."


def _parts_astray(before: Arrangement, after: Arrangement, parts: Sequence[Any]) -> Iterator[str]:
    """Parts of the arrangement that the note does not name, and parts it names that are not in the arrangement."""
    are, were = after.parts(), before.parts()
    named = [Fitted(part.role, part.kind, part.value) for part in parts]
    for part in named:
        if not _is_among(part, are):
            yield f"The note names {part.words}, which is not among the parts that the link is to have."
    for part in are:
        if not _is_among(part, [*named, *were]):
            yield f"The link is to have {part.words}, and the note names no such part."


def _is_among(part: Fitted, others: Sequence[Fitted]) -> bool:
    return any(
        (part.role, part.kind) == (other.role, other.kind)
        and abs(part.value - other.value) <= SAME_VALUE * abs(part.value)
        for other in others
    )


def _foretold_astray(link: Interconnect, after: Arrangement, prediction: Prediction | None) -> Iterator[str]:
    if prediction is None:
        return
    if prediction.interconnect_id != link.pk:
        yield f"Prediction {prediction.pk} is of another link than {link.code}."
    elif not same_parts(prediction.arrangement, after.as_dict()):
        yield f"Prediction {prediction.pk} was made for other parts than those that go on link {link.code}."
    elif ModificationNote.objects.filter(prediction=prediction).exists():
        yield f"Prediction {prediction.pk} stands with a modification note already."
