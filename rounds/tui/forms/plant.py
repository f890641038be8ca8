"""The forms about a plant: enter it, move, repot, divide and edit it, say that it is gone."""

from rounds.tui.forms.divide import divide_form
from rounds.tui.forms.edit import edit_form
from rounds.tui.forms.gone import gone_form
from rounds.tui.forms.move import move_form
from rounds.tui.forms.new_plant import new_plant_form
from rounds.tui.forms.repot import repot_form

__all__ = ["divide_form", "edit_form", "gone_form", "move_form", "new_plant_form", "repot_form"]
