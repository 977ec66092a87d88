"""The table of faults: how often each is tried at a release, and how often by every `make test`.

FAULTS=release runs the whole of it. FAULTS_SEED=... draws everything as that run did.
"""

import os
import secrets
from dataclasses import dataclass

RELEASE = os.environ.get("FAULTS") == "release"
SEED = os.environ.get("FAULTS_SEED") or secrets.token_hex(4)


@dataclass(frozen=True)
class Row:
    fault: str
    release: int
    share: int

    @property
    def times(self) -> int:
        return self.release if RELEASE else self.share


ROWS = {
    "R-01": Row("the server is killed during pushes", 100, 2),
    "R-02": Row("the answer is lost after the commit, at every endpoint that writes", 20, 1),
    "R-03": Row("the line is cut inside the request", 200, 9),
    "R-04": Row("the same batch arrives two to five times, also at once", 500, 12),
    "R-05": Row("batches arrive in another order, a child before its parent", 120, 5),
    "R-06": Row("the same operation id with another body", 50, 5),
    "R-07": Row("the same ids from two farms", 50, 5),
    "R-08": Row("two phones away for three weeks, 200 edits each, 40 on the same records", 30, 1),
    "R-09": Row("phones whose clocks are wrong, nine ways", 90, 3),
    "R-10": Row("the server's clock jumps", 10, 0),
    "R-11": Row("the server's disk is full", 20, 1),
    "R-13": Row("the server is killed while it decodes a picture", 10, 1),
    "R-14": Row("the browser is killed in a save with a picture", 50, 1),
    "R-15": Row("the browser's storage is full", 10, 1),
    "R-17": Row("a new phone app, or the one before, arrives while records are being sent", 40, 1),
    "R-18": Row("the server is older or newer than the phone app", 20, 1),
    "R-19": Row("the login ends with 500 records waiting", 10, 1),
    "R-20": Row("another person signs in on the phone", 10, 1),
    "R-21": Row("a member is removed, a phone is signed out from afar", 10, 1),
    "R-22": Row("an older copy is put back, by command and by a bare swap", 30, 1),
    "R-23": Row("a copy is made while phones send, and put back", 5, 1),
    "R-24": Row("what is no whole copy is to be put back, a bare copy of the live database first", 5, 3),
    "R-25": Row("the server is killed between a picture's file and its row", 50, 1),
    "R-26": Row("a transaction commits late, while others write and read", 200, 6),
    "R-27": Row("eight write at once, to two servers on one database", 5000, 64),
    "R-28": Row("the server is killed while it changes its tables", 5, 0),
    "R-29": Row("a weak line: 150 ms, 3 % of requests lost, 50 kB/s, a hotel's sign-in page", 20, 1),
    "R-30": Row("a first reading of 10,000 records and 2,000 photos that breaks off", 3, 0),
    "I11": Row("what older phones sent, against the running server", 38, 2),
}
