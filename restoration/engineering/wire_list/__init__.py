"""The wire list without a database: reading, judging, pairing, planning and writing it.

Call the modules in this order: ``tables`` (bytes to cells), ``rows`` (cells to wires),
``plan`` (wires against what is known), and ``writing`` for the way back.
"""
