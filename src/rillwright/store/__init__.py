"""What must last beside the files: the journal, what was done and when. It is history; the files are the present."""

from rillwright.store.event import DamagedJournal, Event, NewEvent
from rillwright.store.journal import Journal, set_aside

__all__ = ["DamagedJournal", "Event", "Journal", "NewEvent", "set_aside"]
