"""Heaters On: the record of a valve machine being built and commissioned."""
