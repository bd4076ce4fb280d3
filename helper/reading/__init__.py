"""From words to a Reading: what a person said, with its gaps marked and its evidence kept."""
