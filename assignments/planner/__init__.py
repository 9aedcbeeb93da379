"""What to practise on a day, from what was practised before; knows no database.

The plan of a day is a function of what the student has, what happened before that day and what was
begun on it: it stays as it is while it is played, and a missed week leaves nothing behind.

- `piece_selection`: at most one new fill a day, none while three are in work, and none close to
  yesterday's: a similar melody learnt the same evening inhibited the overnight gain (60
  musicians). What is due first gets the most time.
- `due` asks `fsrs` when a mastered fill is to be played cold again: the reference implementation
  of the algorithm by its authors, with gaps that grow with success; how they grow matters little
  (expanding against even gaps: g = 0.034, Latimier et al. 2021). Steps of minutes are left out
  (lags of 0 to 15 minutes: no effect, Wiseheart et al. 2017).
- `tempo` begins at 70 % of the tempo asked for, goes up 5 % after a clean day and down 10 % after
  a poor one: what stays goes with how many tries were right, not with minutes (Duke et al. 2009).
- `stuck` sees what was practised for two weeks without any gain; `easier` has a simpler one for
  that: fewer drums, half of it, or slower.
- `plan` shares the minutes out: loosen up, one re-check, the new fill in one block, then in turn
  with two known ones. Whether turns help is open (for: Stambaugh 2011; against: Mathias and Goldman
  2025; hardly anything in the young: Czyż et al. 2024), so the teacher sets them for each student.
"""
