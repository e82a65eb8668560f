"""The window: what stands around the diagram, and how a project is opened, saved and left."""
