"""What a maker takes in hand: cards for bench and beach, and later templates, solids and lists."""
