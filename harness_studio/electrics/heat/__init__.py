"""What current does to a wire: its temperature, what it may carry, and what a short circuit does to it."""
