"""What drummers play first: weights on the strokes of a fill space, learned from human fills.

Size, rank and membership of a space never depend on it; only what is drawn does.

- `played_line`: a fill as it is learned from: the surfaces that the hands strike, and when;
- `surface_groups`: surfaces that the data tell apart, and what stands in for the others;
- `surface_table`: one player's chances of the next surface;
- `phrase_traits`, `phrase_ratio`: what makes a phrase of surfaces that follow each other;
- `rhythm_comparisons`: which strokes of a rhythm are compared for that;
- `human_prior`: the tables and the ratio, learned (`learning`) from `human_fills.json`;
- `hand_reach`: what the hands can come to in time;
- `remembering`: the graph of a space, with the strokes struck last beside its states, which
  `numbering` numbers;
- `weighted_space`: exact drawing in proportion to weight; `drawing`: what is drawn of it.
"""
