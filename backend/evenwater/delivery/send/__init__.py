"""The sockets: what goes out to others and comes back. Imported by the clocks beside it, and by those alone."""
