"""Counts checks and shows those that fail."""


class Checks:
    def __init__(self, name):
        self.name, self.passed, self.failed = name, 0, 0

    def check(self, said, holds):
        if holds:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {said}")

    def close(self, said, ours, theirs, within):
        """Whether two numbers agree to `within` of their size."""
        holds = abs(ours - theirs) <= within * max(abs(ours), abs(theirs))
        self.check(f"{said}: {ours!r} here, {theirs!r} there", holds)

    def close_out(self):
        """Prints the counts; 0 if all passed and there was something to pass, for the system."""
        print(f"{self.name}: {self.passed} passed, {self.failed} failed")
        return 0 if self.failed == 0 and self.passed else 1
