"""`python -m bodymap` is `bodymap`."""

import sys

from bodymap.cli import main

sys.exit(main())
