"""The pages of the stores."""
