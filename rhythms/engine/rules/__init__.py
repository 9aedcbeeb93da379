"""The rules, one a file. A rule is found by being in this folder: nothing else lists it.

A rule is a frozen dataclass that inherits `Rule` (`base`) or a helper: `Watcher` (`watching`) for a
statement about strokes in order, whose JSON form follows from its fields, `End` (`ends`) and
`Scope` (`scope`) for parts that rules share.

- ``name``, ``from_json`` and ``to_json`` are its JSON form, which is stored: keys may be added with
  defaults, never renamed or dropped. ``sentence`` is what a teacher reads.
- ``title``, ``purpose`` (of ``PURPOSES``) and ``fields`` describe its form; a field that is
  ``optional`` or ``rare`` is folded away.
- ``bind(setting)`` returns a `Bound`. A filter gives ``narrow(index, strokes)``, the strokes it
  leaves to a note, and may give ``opens(index)``, what it brings within reach beyond plain strokes
  on the hand surfaces: feet, ways of striking, dynamics, ornaments, strokes together. A watcher
  looks at ``stroke.drums``, all that is struck at once, however it is, and gives an ``automaton``:
  a start state, ``step`` to the next state or None, and what it ``accepts`` at the end. Keep its
  states few, and let ``kind`` tell which notes step alike and ``sees`` which strokes: that is what
  counting costs. Its docstring says what it means for several limbs at once.
- ``speaks_of_hands`` where hands are then part of a fill; ``mirrored`` where left and right occur;
  ``lacks`` names what bar or kit would need; ``why`` the reason for what it leaves out, where its
  sentence does not say it, as `feet_keep_going` does; ``prepare`` may turn rests into
  notes, as `feet` does.

To read first: `placement` (filter), `at_most_in_a_row` (watcher), `dynamics` (both).
"""

from importlib import import_module
from pkgutil import iter_modules

from rhythms.engine.rules.base import PURPOSES, REGISTRY, Rule

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

__all__ = ["PURPOSES", "REGISTRY", "Rule"]
