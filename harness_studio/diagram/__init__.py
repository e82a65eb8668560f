"""The interactive drawing: what stands where on a page, how it is shown, and what the hand does with it."""
