"""The library of bars, their editor and its grid."""
