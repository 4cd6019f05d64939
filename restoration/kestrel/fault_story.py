"""Tells each fault of the log with its dates, its people, and the checks before and after."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from restoration.kestrel.check_story import PART_TROUBLES, LinkStates, Visit, signal_check
from restoration.kestrel.faults import Episode, FaultRow
from restoration.kestrel.plan_records import InterconnectPlan, SignalPlan
from restoration.kestrel.site_days import at, chance, next_site_day, pair, site_day_from
from restoration.kestrel.story_records import AttemptStory, EpisodeStory, FaultStory, LinkState, SignalCheckStory

ATTEMPTS_A_DAY = 2


class FaultTelling:
    """Tells one fault forward from the first look at its interconnect."""

    def __init__(self, row: FaultRow, link: InterconnectPlan, signal: SignalPlan, first_look: date) -> None:
        self.row, self.link = row, link
        self.trouble = "" if row.trouble == "-" else row.trouble
        self.states = LinkStates.of(link, signal, self.trouble)
        self.checks: list[SignalCheckStory] = []
        self.day = first_look
        self.look(self.states.troubled, None, "outside" if self.trouble else "within", hour=11)
        if not self.trouble:
            self.day = site_day_from(first_look + timedelta(days=int(chance(link.code, "fault").integers(7, 40))))

    def look(
        self, found: LinkState, left: LinkState | None, expected: str, *, hour: int, remarks: str = ""
    ) -> SignalCheckStory:
        """Add a signal check of that day."""
        visit = Visit(self.day, hour, found, left, expected, remarks, captured=self.is_pictured(expected))
        check = signal_check(self.link, int(self.link.code) * 100 + len(self.checks), visit)
        self.checks.append(check)
        return check

    def is_pictured(self, expected: str) -> bool:
        """Whether the pair kept a capture: of what was wrong, and of what parts made right."""
        return bool(self.trouble) and (expected == "outside" or self.trouble in PART_TROUBLES)

    def told(self, number: int) -> FaultStory:
        """The fault with all its episodes; its checks are then complete."""
        from_check = self.checks[0].number if self.trouble else None
        episodes = tuple(self.episodes())
        return FaultStory(
            number=number,
            interconnect=self.link.code,
            symptom=self.row.episodes[0].what_was_seen,
            how_often=self.row.how_often,
            conditions=self.row.conditions,
            from_check=from_check,
            episodes=episodes,
        )

    def episodes(self) -> Iterator[EpisodeStory]:
        for turn, episode in enumerate(self.row.episodes):
            if turn:
                self.day = site_day_from(self.day + timedelta(days=episode.days_later))
            yield self.episode(turn, episode)

    def episode(self, turn: int, episode: Episode) -> EpisodeStory:
        seen_by = self.checks[0].by if self.trouble and not turn else pair(self.day, self.link.code, turn)[0]
        seen_at = at(self.day, 12, 10)
        attempts = tuple(self.attempts(episode))
        if not episode.outcome:
            return EpisodeStory(seen_at, seen_by, episode.what_was_seen, attempts)
        proof = self.proof(turn) if episode.outcome == "cured" else None
        closed_by = proof.by if proof else attempts[-1].by
        return EpisodeStory(
            seen_at=seen_at,
            seen_by=seen_by,
            what_was_seen=episode.what_was_seen,
            attempts=attempts,
            closed_at=at(self.day, 18),
            closed_by=closed_by,
            outcome=episode.outcome,
            cause=episode.cause,
            cure=episode.cure,
            proof_check=proof.number if proof else None,
        )

    def attempts(self, episode: Episode) -> Iterator[AttemptStory]:
        """Two a day at most; what is left over waits for the next open day."""
        moment = at(self.day, 13)
        for turn, (tried, read, minutes) in enumerate(episode.attempts):
            if turn and turn % ATTEMPTS_A_DAY == 0 and next_site_day(self.day) > self.day:
                moment = self.next_day()
            by = pair(self.day, self.link.code, "try")[0]
            yield AttemptStory(moment, by, tried, read, minutes)
            moment += timedelta(minutes=minutes + 5)

    def next_day(self) -> datetime:
        self.day = next_site_day(self.day)
        return at(self.day, 13)

    def proof(self, turn: int) -> SignalCheckStory:
        """The check that shows the cure; the first one of a link that got parts shows before and after."""
        if self.trouble in PART_TROUBLES and not turn:
            return self.look(self.states.troubled, self.states.conditioned, "within", hour=17)
        return self.look(self.states.conditioned, None, "within", hour=17, remarks="After the cure.")
