"""Pages, components, look, the HTTP interface."""
