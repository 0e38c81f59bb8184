"""Values of the trade: plan, holds, progress, acts, run sheet. Standard library only."""
