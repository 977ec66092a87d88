"""What `harvestlog backup` and `harvestlog restore` say, and when they ask."""

import sys
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from harvestlog.copies import places
from harvestlog.copies.make import make
from harvestlog.copies.manifest import Manifest
from harvestlog.copies.restore import Restored
from harvestlog.copies.restore import restore as put_back
from harvestlog.refusal import Refusal


def backup(*, to: Path | None, keep: int | None) -> int:
    """Returns the exit code; raises Refusal."""
    folder = to.expanduser().absolute() if to else places.own_folder()
    if folder is None:
        raise Refusal("HARVESTLOG_COPIES=0 switched copies off. Say where this one goes: --to FOLDER")
    if keep is None and to is None:
        keep = places.KEEP  # in a folder that was named nothing goes unless that is asked for
    there = set(places.copies_in(folder))
    copy, said = make(why=places.BY_HAND, to=folder, keep=keep)
    _say(f"Copied to {copy}: {_contents(said)}, {_size(said.size)}, verified by reading it back.")
    for gone in sorted(there - set(places.copies_in(folder))):
        _say(f"Removed, as the newest {keep} made by hand are kept: {gone.name}")
    if folder != places.beside_the_records() and places.on_the_records_disk(folder):
        _say("It is on the same disk as the records, and helps against a mistake, not against a broken disk.")
    if said.lost:
        _say(f"Not in it, because they are missing or damaged on this server itself: {', '.join(said.lost)}")
    return 0


def restore(copy: Path, *, yes: bool) -> int:
    """Returns the exit code, 1 when the person did not agree; raises Refusal."""
    settings.DATA.mkdir(mode=0o700, parents=True, exist_ok=True)
    done = put_back(copy.expanduser().absolute(), agreed=lambda said: yes or _agreed(copy, said))
    if done is None:
        _say("Nothing was changed.")
        return 1
    _report(done)
    return 0


def _agreed(copy: Path, said: Manifest) -> bool:
    if not sys.stdin.isatty():
        raise Refusal("nobody is here to ask. To put the copy back without a question: --yes")
    _say(f"{copy} was made on {_when(said)}: {_contents(said)}.")
    _say(f"It takes the place of what is in {settings.DATA} now, which is set aside.")
    sys.stdout.write("Put it back? Type yes: ")
    sys.stdout.flush()
    return sys.stdin.readline().strip().lower() == "yes"


def _report(done: Restored) -> None:
    _say(f"Put back what was copied on {_when(done.manifest)}: {_contents(done.manifest)}.")
    if done.aside:
        _say(f"What was there before is kept: {done.aside}")
    if done.adopted:
        _say(f"Kept as well: {_many(done.adopted, 'picture')} from after the copy.")
    _say(
        "Start the server. Everybody signs in again on their phone; each phone then sends what it still has from after "
        "the copy. People, roles and passwords are those of the copy: look at the people under Farm. Links to reports, "
        "calendar addresses, invitations and codes were ended: make anew those that are still wanted."
    )


def _contents(said: Manifest) -> str:
    farms = _many(len(said.facts.farms), "farm")
    return f"{farms}, {_many(said.records, 'record')}, {_many(said.pictures, 'picture')}"


def _many(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


def _size(size: int) -> str:
    return f"{size / 1e6:,.1f} MB"


def _when(said: Manifest) -> str:
    return f"{timezone.localtime(said.made):%Y-%m-%d at %H:%M} UTC"


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
