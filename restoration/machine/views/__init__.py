"""The pages of the machine, by what they are about."""
