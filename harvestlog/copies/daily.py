"""The copy that is made by itself once a day while the server runs, and the one an owner asks for."""

import logging
import threading
import time
from datetime import datetime, timedelta

from django.db import DatabaseError, connection
from django.utils import timezone

from harvestlog.accounts.models import Farm
from harvestlog.copies import places
from harvestlog.copies.glance import Glance, glance
from harvestlog.copies.make import Full, NoFolder, make
from harvestlog.photos.sweep import sweep
from harvestlog.refusal import Refusal

EVERY = timedelta(days=1)
SECONDS_BETWEEN_LOOKS = 60
# After a failure, which is most often a full disk, not every minute.
SECONDS_AFTER_TROUBLE = 3600
log = logging.getLogger(__name__)


class Desk:
    """Where at most one copy is being made, and what became of the last one. One process serves, so it is one desk."""

    def __init__(self) -> None:
        self._taken = threading.Lock()
        self.trouble: str | None = None

    @property
    def running(self) -> bool:
        return self._taken.locked()

    def begin(self, why: str) -> bool:
        """Starts a copy in a thread of its own; False while one is being made."""
        if not self._taken.acquire(blocking=False):
            return False
        threading.Thread(target=self._finish, args=(why,), daemon=True).start()
        return True

    def make_now(self, why: str) -> None:
        if self._taken.acquire(blocking=False):
            self._finish(why)

    def _finish(self, why: str) -> None:
        try:
            folder = places.own_folder()
            if folder is not None:
                make(why=why, to=folder, keep=places.KEEP)
            self.trouble = None
        except Full as full:
            self.trouble = "There is not enough room for another copy. Tell whoever runs the server."
            log.error("no copy was made: %s", full)
        except NoFolder as missing:
            self.trouble = "The folder for backups is not there: perhaps its disk is not connected. Tell whoever runs the server."
            log.error("no copy was made: %s", missing)
        except Exception as error:  # whatever it is, tomorrow's copy must not depend on it
            self.trouble = "The last copy could not be made. The server's log says why."
            log.error("no copy was made: %s", error, exc_info=None if isinstance(error, Refusal) else error)
        finally:
            self._taken.release()


desk = Desk()


def newest() -> Glance | None:
    """The last complete copy of this server's; one whose manifest cannot be read counts for nothing."""
    folder = places.own_folder()
    seen = map(glance, places.ours_in(folder)) if folder else iter(())
    return next(filter(None, seen), None)


def is_due(now: datetime) -> bool:
    """Also false before there is a farm of one's own: the demo farm is in the program itself."""
    if places.own_folder() is None or not Farm.objects.filter(is_demo=False).exists():
        return False
    last = newest()
    # A clock that was wrong must not put it off for years.
    return last is None or not now - EVERY < last.made <= now


def start() -> None:
    threading.Thread(target=_watch, name="daily copy", daemon=True).start()


def _watch() -> None:
    swept: datetime | None = None
    while True:
        _look()
        if swept is None or not swept <= timezone.now() < swept + EVERY:
            swept = timezone.now()
            _sweep()
        time.sleep(SECONDS_AFTER_TROUBLE if desk.trouble else SECONDS_BETWEEN_LOOKS)


def _sweep() -> None:
    try:
        if gone := sweep():
            log.info("%d files that no photo names were removed", gone)
    except Exception as error:  # whatever it is, tomorrow is another day
        log.warning("left-over photo files were not swept: %s", error)
    finally:
        connection.close()


def _look() -> None:
    try:
        if is_due(timezone.now()):
            desk.make_now(places.DAILY)
    except Exception as error:  # busy, being restarted, or whatever it is: there is another look
        known = isinstance(error, DatabaseError | OSError)
        log.warning("whether a copy is due could not be read: %s", error, exc_info=None if known else error)
    finally:
        connection.close()
