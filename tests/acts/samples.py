"""A recipe as people write it, for tests of more than one act."""

from __future__ import annotations

SOUP = """Bean soup
Serves 4

1 lb dry navy beans
1 onion, chopped
8 cups water
2 tbsp olive oil (optional)
salt to taste

1. Soak the beans overnight.
2. Simmer all of it 1 hour 30 minutes.
"""
