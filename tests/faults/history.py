"""What happened in one run, as one JSON line an event, so that a judge who has seen nothing else can say what was broken.

Every event has `who` (a phone's name, "server" or "nemesis") and `what`; the order of the lines is the order in which
the run's one recorder heard of them. A phone's name stands for one person on one device. Rows and operations are
written as they cross the wire: an operation {id, verb, kind, row, base, at, fields}, a row {kind, id, seq, deleted,
author, fields}.

  begin      row (of the fault table), seed, database
  phone      farm, device: a phone that exists from here on; person (an id) where the line heard who signed in
  made       op, shown, pictures: saved on the phone; `shown` when the grower was told so; `pictures` are the hashes of
             the picture bytes that were saved in the same transaction
  tried      op, pictures: a save that was begun and never confirmed, because its phone was killed in it
  invoke     call, of ("push", "pull", "photo"), and what was sent: ops [{id, base}], since and epoch, or sha256
  ok         call, and what was answered: results, or the page (rows, upto, more, head, epoch), or kept (the hash);
             `reset` and `epoch` where the server said to start again
  fail       call, status, code: the server answered, and says that nothing was done
  unknown    call: no answer came. It may have been done or not
  cursor     cursor, checkpoint, epoch: how far this phone has read, after every step
  shown      rows: the ids of the records in this phone's view, tombstones included
  discarded  ops: ids that the grower threw away by a visible act
  restarted  ops, pictures: what lay in the phone's storage when it came up again: ids of operations it still has or
             knows to be applied, hashes of pictures
  killed     the server, by SIGKILL;  started  the server
  restored   farm, rows, head, epoch: an older copy lies under the server now, and this is what it holds
  recorded   name, wanted, given: the answer to one recorded operation of an older phone
  swept      before, after: picture files, each {name, age_h, named}, around a sweep
  dump       at the end.
             server: farm, epoch, head; rows (as a phone that starts anew is given them); stored {id: [seq, deleted]} (as they
             lie in the tables); receipts [{op, status, seq, code, at, lost_fields}]; changes [{seq, op, kind, row, verb, device,
             before, after, lost}]; photos [{sha256, kept_sha256, file_sha256 or null when there is no file}]
             phone: confirmed (rows), outbox (operations), parked (ids), sent (ids), cursor, checkpoint, epoch,
             pictures (hashes of those the server has not confirmed)
"""

import itertools
import json
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

Event = dict[str, Any]
_NUMBERS = itertools.count()


class History:
    """Takes events from any thread, and keeps them in the order they came."""

    def __init__(self, row: str = "", seed: str = "", database: str = "") -> None:
        self.number = next(_NUMBERS)  # among those of this run
        self.events: list[Event] = []
        self._lock = threading.Lock()
        self._calls = 0
        if row:
            self.note("nemesis", "begin", row=row, seed=seed, database=database)

    def note(self, who: str, what: str, **more: Any) -> None:
        # By way of its text: what is changed afterwards must not change what was said.
        event = json.loads(json.dumps({"who": who, "what": what, **more}))
        with self._lock:
            self.events.append(event)

    def invoke(self, who: str, of: str, **sent: Any) -> int:
        """The number by which the call's end is told."""
        with self._lock:
            self._calls += 1
            call = self._calls
        self.note(who, "invoke", call=call, of=of, **sent)
        return call

    def write(self, path: Path) -> None:
        path.write_text("".join(json.dumps(event) + "\n" for event in self.events), encoding="utf-8")


def read(path: Path) -> list[Event]:
    return list(_lines(path))


def _lines(path: Path) -> Iterator[Event]:
    for line in path.read_text(encoding="utf-8").splitlines():
        yield json.loads(line)
