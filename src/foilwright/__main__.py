"""``python -m foilwright``."""

import sys

from foilwright.cli import main

sys.exit(main())
