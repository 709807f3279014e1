"""A shop box on its own network: certificates, the page of trust, both served."""
