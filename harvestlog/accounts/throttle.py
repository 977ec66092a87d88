"""How often somebody may try to get in: counted per account, per address, and per known phone.

A try is written down and committed before it is counted, so racing requests count each other.
A known phone (a device this person signed in on before) is held only to its own count:
somebody who guesses from elsewhere cannot lock the grower out of their own phone.

Behind a proxy, addresses are what the proxy says they are. It must set X-Forwarded-For itself and drop header names
with underscores (nginx does so unless told otherwise): WSGI gives X_Forwarded_For and X-Forwarded-For the same name,
so a visitor who sends the former could write over what the proxy said in the latter.
"""

import ipaddress
import math
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.conf import settings
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from harvestlog.accounts.models import Phone, SignInTry
from harvestlog.accounts.refusals import slow_down


@dataclass(frozen=True)
class Limits:
    """Tries allowed within `window`. Our own choice, no source: 10 an account is 960 guesses a day."""

    window: timedelta
    account: int
    address: int
    phone: int
    setup: int


LIMITS = Limits(window=timedelta(minutes=15), account=10, address=30, phone=10, setup=100)


def address_of(request: HttpRequest) -> str:
    """Where the request came from, without a port; one IPv6 household (/64) counts as one address.

    A server that listens on :: meets IPv4 visitors as ::ffff:192.0.2.7; each is the IPv4 address that stands inside.

    Behind our own proxy that is the last entry of X-Forwarded-For: the earlier ones are the visitor's to invent.
    """
    stated = request.META.get("REMOTE_ADDR", "")
    if settings.BEHIND_PROXY:
        stated = request.META.get("HTTP_X_FORWARDED_FOR", stated).rpartition(",")[2].strip()
    try:
        address = ipaddress.ip_address(_without_port(stated))
    except ValueError:
        return "unknown"
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is None:
            return str(ipaddress.ip_network((int(address), 64), strict=False).network_address)
        address = address.ipv4_mapped
    return str(address)


def _without_port(stated: str) -> str:
    """Some proxies write 192.0.2.7:4411 or [2001:db8::7]:4411."""
    if stated.startswith("["):
        return stated[1:].partition("]")[0]
    return stated.partition(":")[0] if stated.count(":") == 1 else stated


def known_phone(email: str, device: UUID) -> bool:
    return Phone.objects.filter(person__email=email, device=device, revoked=None).exists()


def knock(
    *, door: str, account: str, address: str, device: UUID | None = None, known: bool = False
) -> SignInTry:
    """Write down one try and let it pass, or raise 429. Delete the returned row when the try was right."""
    now = timezone.now()
    SignInTry.objects.filter(at__lte=now - LIMITS.window).delete()
    account = salted_hmac("harvestlog.try", f"{door}:{account}", algorithm="sha256").hexdigest()
    mine = SignInTry.objects.create(account=account, address=address, device=device, at=now)
    others = SignInTry.objects.exclude(id=mine.id)
    if known:
        wait = _wait_s(others.filter(account=account, device=device), LIMITS.phone)
    else:
        wait = max(
            _wait_s(others.filter(account=account), LIMITS.setup if door == "setup" else LIMITS.account),
            _wait_s(others.filter(address=address), LIMITS.address),
        )
    if wait:
        mine.delete()  # a refused try must not prolong the wait
        raise slow_down(wait)
    return mine


def _wait_s(tries: QuerySet[SignInTry], limit: int) -> int:
    """Seconds until fewer than `limit` of these tries are inside the window; 0 when that is so now."""
    newest = list(tries.order_by("-at").values_list("at", flat=True)[:limit])
    if len(newest) < limit:
        return 0
    return max(1, math.ceil((newest[-1] + LIMITS.window - timezone.now()).total_seconds()))
