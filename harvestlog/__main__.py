"""`python -m harvestlog` is the `harvestlog` command."""

import sys

from harvestlog.cli import main

sys.exit(main())
