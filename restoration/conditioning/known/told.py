"""What is told of a link as it is put together: facts with their whence, assumptions, and what is missing."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class KnownFact:
    """One thing known: what it is called, how it reads, and where it comes from."""

    name: str
    value: str
    whence: str


@dataclass(frozen=True)
class Missing:
    """Something without which nothing can be predicted, and the page where it is written down."""

    says: str
    address: str = ""
    press: str = ""

    def __str__(self) -> str:
        return self.says


@dataclass
class Telling:
    """What is known, assumed and missing, in the order in which it came up."""

    facts: list[KnownFact] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    missing: list[Missing] = field(default_factory=list)

    def know(self, name: str, value: str, whence: str) -> None:
        """Tell a fact."""
        self.facts.append(KnownFact(name, value, whence))

    def assume(self, sentence: str) -> None:
        """Tell an assumption, once."""
        if sentence not in self.assumed:
            self.assumed.append(sentence)

    def miss(self, says: str, address: str = "", press: str = "") -> None:
        """Tell what is missing."""
        self.missing.append(Missing(says, address, press))
