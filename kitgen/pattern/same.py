"""A pattern as itself: compared as an object, not by value, for remembering what was made of it last."""

from kitgen.pattern.value import Pattern


class Same:
    """A pattern that equals only itself; comparing long ones by value takes longer than what is made of them."""

    __slots__ = ("pattern",)

    def __init__(self, pattern: Pattern) -> None:
        self.pattern = pattern

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.pattern is other.pattern

    def __hash__(self) -> int:
        return id(self.pattern)
