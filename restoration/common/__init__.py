"""Django glue without a domain of its own."""
