"""Racks, slots, designs, chassis, terminals, signals and interconnects."""
