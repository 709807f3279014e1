"""How far films have come in the air of the shop."""
