"""`python -m helper` is the same as the `meal-helper` command."""

import sys

from helper.app import main

sys.exit(main())
