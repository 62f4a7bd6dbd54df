"""From an arrangement to practice: count-in, mixes, ladders, climbs, forms, the plan of a pack."""
