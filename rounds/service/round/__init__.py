"""A round at the keyboard: one call per key, one view back, each press written before it shows.

`RoundWalk` is the round under way. It takes the keys, decides what each means where the round
stands, and answers with a frozen `RoundView`. What waits for the next key (figures, a question)
it keeps itself. It is made of parts that do not know it:

- `RoundProgress` is where the round stands: the course, the plant at hand, the clock. It alone
  moves on, and a move is in the log before it is made.
- `RoundLog` writes the entries of one round, after asking whether this program still walks it.
- `Course` holds the steps, which are done, and the look in progress; it is never changed, only
  replaced. `PlantAtHand` reads one plant anew after every press. `LiveFigure` works out what
  the press means for it, and keeps that.
- `RoundDeeds`, of which it is made, does what its keys decide, and says what was done.
- Values are worked out by functions that write nothing: whose turn it is (`turns`: whom a find lets
  join, who was put off, who is opened out of turn), what is taken back next (`take_back`), whether
  a zone is looked at twice (`second_look`), and all words (`shown`: questions, what is said of a
  press, the view, the summary).

`start` begins a round, comes back to one, and closes what was abandoned; `finish` says what a
round has done so far, and closes looks and rounds; `walker` knows which program walks it.
"""

from rounds.service.round.start import begin, is_under_way, left_at, plants_done, resume
from rounds.service.round.turns.others import OtherPlant
from rounds.service.round.view import RoundView
from rounds.service.round.walk import RoundWalk

__all__ = [
    "OtherPlant",
    "RoundView",
    "RoundWalk",
    "begin",
    "is_under_way",
    "left_at",
    "plants_done",
    "resume",
]
