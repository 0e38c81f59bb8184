"""What the trade knows: checks, clocks, rivets, holes, layout, metals. Standard library only."""
