"""After a find: who stood near, which spots stay empty, what is watched and cleaned."""
