"""The room of moved returns: a return of the ground map is put on another stud, by drag or by keys."""
