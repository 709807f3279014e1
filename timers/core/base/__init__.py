"""What every rule may use: units, checks of single values, phrases, words for times."""
