"""An invented studio after twelve weeks of lessons, so that every page has something to show."""
