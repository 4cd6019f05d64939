"""Acts of proving, by noun; what other apps call is named here."""
