"""Forms for racks and slots."""

from django import forms

from restoration.common.posts import TokenForm
from restoration.machine.forms.fields import CodeField
from restoration.machine.models import Design, Rack

PLACE_HELP = "From 1 upwards; two with the same number stand in the order of their codes."


class RackEditForm(TokenForm):
    """What a rack is for, and where it stands."""

    function = forms.CharField(label="What it is for", max_length=120, required=False)
    position = forms.IntegerField(label="Place in the row", min_value=0, max_value=100000, help_text=PLACE_HELP)


class RackForm(RackEditForm):
    """A rack that is not on the list yet."""

    code = CodeField(label="Code", help_text="As it is painted on the rack.")
    field_order = ["code", "function", "position"]


class SlotEditForm(TokenForm):
    """Where a slot is, what it does, and which design goes into it."""

    rack = forms.ModelChoiceField(Rack.objects.in_order(), label="Rack", required=False, empty_label="not known")
    position = forms.IntegerField(label="Place from the top", min_value=0, max_value=100000, help_text=PLACE_HELP)
    function = forms.CharField(label="What it does", max_length=120, required=False)
    design = forms.ModelChoiceField(Design.objects.all(), label="Design", required=False, empty_label="not known")


class SlotForm(SlotEditForm):
    """A slot that is not on the list yet."""

    code = CodeField(label="Code", help_text="As it is painted on the rack; used once on the machine.")
    field_order = ["code", "rack", "position", "function", "design"]


class TerminalForm(TokenForm):
    """One more joining point of a slot."""

    code = CodeField(label="Terminal", help_text="As it is marked on the slot.")
