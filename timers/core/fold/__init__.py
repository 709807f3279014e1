"""Acts in their order, folded into the state of a panel, the shelf, the shop."""
