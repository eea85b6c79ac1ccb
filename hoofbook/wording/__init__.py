"""The only place where a sentence, a rounded number, a unit or a date is made as a person reads it."""
