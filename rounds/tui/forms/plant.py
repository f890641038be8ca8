"""The forms about a plant: enter it, move it, edit it, say that it is gone."""

from rounds.tui.forms.edit import edit_form
from rounds.tui.forms.gone import gone_form
from rounds.tui.forms.move import move_form
from rounds.tui.forms.new_plant import new_plant_form

__all__ = ["edit_form", "gone_form", "move_form", "new_plant_form"]
