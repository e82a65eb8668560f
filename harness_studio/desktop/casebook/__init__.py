"""The casebook: cases from complaint to closed, suspects, the next reading, before and after."""
