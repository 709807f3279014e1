"""What all of shop may use: database, limits, logs, locale, secrets."""
