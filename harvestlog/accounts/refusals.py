"""What the API says no with: a status, a code for the phone and a sentence for the person."""

from typing import Any


class Refused(Exception):
    """Raised anywhere below a view; answered as {code, message, …extra} with `status`."""

    def __init__(self, status: int, code: str, message: str, **extra: Any) -> None:
        super().__init__(code)
        self.status = status
        self.code = code
        self.message = message
        self.extra = extra


def absent() -> Refused:
    """Not there, or another farm's: nobody can tell which."""
    return Refused(404, "absent", "There is nothing here by that name.")


def not_allowed(message: str = "Only an owner of the farm can do that. Ask an owner.") -> Refused:
    return Refused(403, "not_allowed", message)


def signed_out() -> Refused:
    return Refused(401, "signed_out", "Sign in to go on. What you recorded stays on this phone.")


def password_wanted() -> Refused:
    return Refused(403, "confirm", "Write your password to go on: this needs you, and not only your phone.")


def invalid(field: str, reason: str) -> Refused:
    return Refused(422, "invalid", f"{field}: {reason}", errors=[{"field": field, "reason": reason}])


def slow_down(seconds: int) -> Refused:
    minutes = -(-seconds // 60)
    wait = "1 minute" if minutes <= 1 else f"{minutes} minutes"
    return Refused(429, "slow_down", f"Too many tries. Try again in {wait}.", retry_after=seconds)
