"""What an inspection answers besides its verdict: the next act at each member that it read."""

from dataclasses import dataclass

from installs.arithmetic.packer_answers import PackerAdvice
from jobs.frozen import FrozenKind


@dataclass(frozen=True, slots=True)
class MemberAct(PackerAdvice):
    """`in_words`: such as `left jamb: +2 mm at 1950 mm, then read again`."""

    in_words: str


@dataclass(frozen=True, slots=True)
class NextAct:
    """As it was advised when the inspection was recorded, by all on record until then."""

    members: tuple[MemberAct, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


NEXT_ACT = FrozenKind("next act after an inspection", NextAct)
