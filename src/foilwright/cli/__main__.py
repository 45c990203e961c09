"""``python -m foilwright.cli``."""

import sys

from foilwright.cli import main

sys.exit(main())
