"""What cooks know: how long food keeps, what goes with it, what to do with it, and how much it is.

Each act stands in a module of its own; this one only gathers them.
"""

from __future__ import annotations

from helper.acts.beside import goes_with
from helper.acts.converting import convert
from helper.acts.in_season import season
from helper.acts.keepings import keeps
from helper.acts.rescuing import rescue

__all__ = ["convert", "goes_with", "keeps", "rescue", "season"]
